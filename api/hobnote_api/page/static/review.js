// The review page: words and rows light each other up, and forms are sent without a reload.
// Everything works without this file; it only makes it quicker.

const told = document.querySelector("#told");
const LIT = "lit";

// -- lighting up ------------------------------------------------------------------

function pointsOf(target) {
  const found = target instanceof Element ? target.closest("[data-for]") : null;
  return found ? found.dataset.for.split(" ") : [];
}

function light(ids) {
  for (const one of document.querySelectorAll(`.${LIT}`)) one.classList.remove(LIT);
  if (!ids.length) return;
  for (const one of document.querySelectorAll("[data-for]")) {
    if (one.dataset.for.split(" ").some((id) => ids.includes(id))) one.classList.add(LIT);
  }
}

document.addEventListener("pointerover", (event) => light(pointsOf(event.target)));
document.addEventListener("focusin", (event) => light(pointsOf(event.target)));
document.addEventListener("focusout", () => light([]));

// A word that is followed shows its row, and the row its words, in its own column.
document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a.w, a.stepno, a.back, a.moment");
  if (!link) return;
  const place = document.getElementById(decodeURIComponent(link.hash.slice(1)));
  if (!place) return;
  event.preventDefault();
  place.scrollIntoView({ block: "center" });
  const focus = place.matches("a") ? place : place.querySelector("a, summary");
  focus?.focus({ preventScroll: true });
});

// -- forms ---------------------------------------------------------------------------

let busy = false;

function after(form, asked) {
  // Where the keyboard goes on: the next question, else what the form was about.
  if (document.querySelector("#trouble")) return document.querySelector("#trouble");
  if (form.action.endsWith("/answer")) {
    return document.querySelector(`#${asked} button, #${asked} input:not([type=hidden])`)
      ?? document.querySelector(".asked button") ?? document.querySelector("#say");
  }
  if (form.action.endsWith("/say") && form.matches(".say")) return document.querySelector("#say");
  if (/\/(undo|redo)$/.test(form.action)) {
    const same = document.querySelector(form.action.endsWith("undo") ? "#undo" : "#redo");
    return same && !same.disabled ? same : document.querySelector("#say");
  }
  const place = form.querySelector("[name=place]")?.value;
  return document.querySelector(`#${place} summary`) ?? document.querySelector("#board summary");
}

function news(page) {
  const trouble = page.querySelector("#trouble");
  if (trouble) return trouble.textContent.trim().replace(/\s+/g, " ");
  const last = page.querySelector(".log li:last-child .theirs");
  return last ? last.innerText || last.textContent.trim() : "Done.";
}

async function send(form, button) {
  const data = new URLSearchParams(new FormData(form));
  if (button?.name) data.append(button.name, button.value);
  const asked = form.closest(".ask")?.id ?? "q1";
  const open = [...document.querySelectorAll("details.minor[open]")].length > 0;
  let answer;
  try {
    answer = await fetch(form.action, { method: "POST", body: data });
  } catch {
    told.textContent = "The kitchen does not answer. Is it still running?";
    return;
  }
  if (!(answer.headers.get("content-type") ?? "").startsWith("text/html")) {
    const problem = await answer.json().catch(() => ({}));
    told.textContent = problem.detail ?? "That did not work.";
    told.classList.remove("unseen");
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const kept = ["said", "talk"].map((id) => [id, document.getElementById(id)?.scrollTop ?? 0]);
  document.querySelector("#review").replaceWith(page.querySelector("#review"));
  document.querySelector(".jump").replaceWith(page.querySelector(".jump"));
  document.title = page.title;
  for (const [id, top] of kept) document.getElementById(id).scrollTop = top;
  if (open) document.querySelector("details.minor")?.setAttribute("open", "");
  told.classList.add("unseen");
  told.textContent = news(document);
  ready();
  if (document.querySelector("#trouble")) document.querySelector("#trouble").scrollIntoView();
  after(form, asked)?.focus({ preventScroll: !document.querySelector("#trouble") });
}

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (form.method !== "post" || !form.closest("#review")) return;
  event.preventDefault();
  if (busy) return;
  busy = true;
  document.querySelector("#review").setAttribute("aria-busy", "true");
  try {
    await send(form, event.submitter);
  } finally {
    busy = false;
    document.querySelector("#review").removeAttribute("aria-busy");
  }
});

// Enter sends a message; with Shift it is a new line, as in any chat.
document.addEventListener("keydown", (event) => {
  if (event.target.id !== "say" || event.key !== "Enter" || event.shiftKey || event.isComposing) return;
  event.preventDefault();
  if (event.target.value.trim()) event.target.form.requestSubmit();
});

function ready() {
  const print = document.querySelector("#print");
  if (print) {
    print.hidden = false;
    print.addEventListener("click", () => window.print());
  }
}
ready();
document.querySelector("#trouble")?.focus();
