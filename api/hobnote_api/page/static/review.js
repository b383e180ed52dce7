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
  const link = event.target.closest?.("a.w, a.stepno, a.back, a.moment, a.asks");
  if (!link) return;
  const place = document.getElementById(decodeURIComponent(link.hash.slice(1)));
  if (!place) return;
  event.preventDefault();
  place.closest("details:not([open])")?.setAttribute("open", "");
  place.scrollIntoView({ block: "center" });
  const focus = place.matches("a") ? place : place.querySelector("a, summary, button");
  focus?.focus({ preventScroll: true });
});

// -- forms ---------------------------------------------------------------------------

let busy = false;

// What was opened and half typed elsewhere stays when the page is shown anew.
function openAndTyped(sent) {
  const open = [...document.querySelectorAll("#review details[open]")]
    .filter((one) => !one.matches(".mend") || !one.contains(sent) || sent.matches(".order"))
    .map((one) => one.closest("[id]").id);
  const typed = [...document.querySelectorAll("#review input[id], #review textarea[id]")]
    .filter((one) => (one.type === "checkbox"
      ? one.checked !== one.defaultChecked : one.value !== one.defaultValue))
    .map((one) => [one, one.form]);
  return { open, typed };
}

function putBack({ open, typed }, sent, refused) {
  for (const [old, form] of typed) {
    const field = document.getElementById(old.id);
    if (!field || (form === sent && !refused)) continue;
    if (field.type === "checkbox") field.checked = old.checked;
    else field.value = old.value;
    field.closest("details")?.setAttribute("open", "");
  }
  for (const id of open) {
    const place = document.getElementById(id);
    (place?.matches("details") ? place : place?.querySelector("details"))?.setAttribute("open", "");
  }
}

function after(form, asked, button) {
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
  if (form.matches(".order")) {
    const moved = document.getElementById(place);
    return moved?.querySelector(`[data-way=${button?.dataset?.way}]:enabled`)
      ?? moved?.querySelector(".order button:enabled") ?? moved?.querySelector("summary");
  }
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
  const kept = openAndTyped(form);
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
  const tops = ["said", "talk"].map((id) => [id, document.getElementById(id)?.scrollTop ?? 0]);
  document.querySelector("#review").replaceWith(page.querySelector("#review"));
  document.querySelector(".jump").replaceWith(page.querySelector(".jump"));
  document.title = page.title;
  for (const [id, top] of tops) document.getElementById(id).scrollTop = top;
  putBack(kept, form, document.querySelector("#trouble") !== null);
  told.classList.add("unseen");
  told.textContent = news(document);
  ready();
  if (document.querySelector("#trouble")) document.querySelector("#trouble").scrollIntoView();
  after(form, asked, button)?.focus({ preventScroll: !document.querySelector("#trouble") });
}

async function submit(form, button) {
  if (busy) return;
  busy = true;
  document.querySelector("#review").setAttribute("aria-busy", "true");
  try {
    await send(form, button);
  } finally {
    busy = false;
    document.querySelector("#review").removeAttribute("aria-busy");
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || !form.closest("#review")) return;
  event.preventDefault();
  submit(form, event.submitter);
});

// -- order by dragging; the buttons of each form do the same ---------------------------

let dragged = null;

function dropAt(event) {
  // The row that it would be dropped on, and whether after it; null where it cannot go.
  const over = event.target.closest?.("[data-key]");
  if (!dragged || !over || over === dragged || over.dataset.what !== dragged.dataset.what) return null;
  if ((over.closest(".extras") === null) !== (dragged.closest(".extras") === null)) return null;
  const box = over.getBoundingClientRect();
  return { over, after: event.clientY > box.top + box.height / 2 };
}

function undrop() {
  for (const one of document.querySelectorAll(".drop-before, .drop-after")) {
    one.classList.remove("drop-before", "drop-after");
  }
}

document.addEventListener("dragstart", (event) => {
  const grip = event.target.closest?.(".grip");
  if (!grip) return;
  dragged = grip.closest("[data-key]");
  event.dataTransfer.effectAllowed = "move";
  event.dataTransfer.setData("text/plain", dragged.dataset.key);
  event.dataTransfer.setDragImage(dragged, 12, 12);
});
document.addEventListener("dragover", (event) => {
  undrop();
  const at = dropAt(event);
  if (!at) return;
  event.preventDefault();
  at.over.classList.add(at.after ? "drop-after" : "drop-before");
});
document.addEventListener("dragend", () => {
  undrop();
  dragged = null;
});
document.addEventListener("drop", (event) => {
  const at = dropAt(event);
  undrop();
  if (!at) return;
  event.preventDefault();
  let before = at.over;
  if (at.after) {
    before = at.over.nextElementSibling;
    // The method goes on in the next part; an ingredient stays in the list it is dropped on.
    if (!before && at.over.dataset.what === "step") {
      const all = [...document.querySelectorAll(".step")];
      before = all[all.indexOf(at.over) + 1];
    } else if (!before && at.over.parentElement !== dragged.parentElement) before = at.over;
  }
  if (before === dragged) return;
  submit(dragged.querySelector("form.order"), { name: "before", value: before?.dataset.key ?? "" });
});

// Enter sends a message; with Shift it is a new line, as in any chat.
document.addEventListener("keydown", (event) => {
  if (event.target.id !== "say" || event.key !== "Enter" || event.shiftKey || event.isComposing) return;
  event.preventDefault();
  if (event.target.value.trim()) event.target.form.requestSubmit();
});

function ready() {
  for (const one of document.querySelectorAll("[data-key]")) {
    if (!one.querySelector(".order button:enabled")) continue;
    const grip = document.createElement("span");
    grip.className = "grip";
    grip.draggable = true;
    grip.title = "Drag to another place";
    grip.setAttribute("aria-hidden", "true");
    one.prepend(grip);
  }
  const print = document.querySelector("#print");
  if (print) {
    print.hidden = false;
    print.addEventListener("click", () => window.print());
  }
}
ready();
document.querySelector("#trouble")?.focus();
