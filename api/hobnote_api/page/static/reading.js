// A long note while it is read: its progress as it comes, then the recipe.

const place = document.querySelector("#reading");
const bar = document.querySelector("#progress");
const words = document.querySelector("#so-far");
const told = document.querySelector("#told");
const address = `/v1/operations/${place.dataset.operation}/events`;
const plain = new Intl.NumberFormat("en-GB");
let last = -1;

function show(event) {
  const now = JSON.parse(event.data);
  bar.max = now.total;
  bar.value = now.done;
  const stage = now.stage[0].toUpperCase() + now.stage.slice(1);
  words.textContent = now.stage === "reading"
    ? `${stage}: ${plain.format(now.done)} of ${plain.format(now.total)} characters` : `${stage} …`;
  // Spoken at every quarter only: a reader who hears each change hears nothing else.
  const quarter = Math.floor((4 * now.done) / Math.max(1, now.total));
  if (quarter !== last) {
    last = quarter;
    told.textContent = quarter ? `${quarter * 25} per cent are read.` : "The note is being read.";
  }
}

function leave() {
  stream.close();
  location.replace(`/reading/${place.dataset.operation}`);
}

const stream = new EventSource(address);
stream.addEventListener("waiting", show);
stream.addEventListener("working", show);
for (const end of ["done", "failed", "stopped"]) stream.addEventListener(end, leave);
stream.addEventListener("error", () => {
  // The browser comes back by itself unless it was refused.
  if (stream.readyState === EventSource.CLOSED) leave();
});
