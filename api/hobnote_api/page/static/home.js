// The page where a note is begun: files dropped or chosen, and dictation where the browser has it.

const text = document.querySelector("#text");
const drop = document.querySelector("#drop");
const file = document.querySelector("#file");
const counted = document.querySelector("#counted");
const told = document.querySelector("#told");
const LONGEST = 2_000_000;

text.required = true;

function count() {
  const words = text.value.trim() ? text.value.trim().split(/\s+/).length : 0;
  counted.textContent = words ? `${words.toLocaleString("en-GB")} words` : "";
}

function decoded(bytes) {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}

async function take(one) {
  if (!one) return;
  if (one.size > LONGEST) {
    told.textContent = `${one.name} is too large for a note.`;
    counted.textContent = told.textContent;
    return;
  }
  text.value = decoded(await one.arrayBuffer());
  count();
  told.textContent = `${one.name} is in the note now.`;
  text.focus();
}

file.addEventListener("change", async () => {
  await take(file.files[0]);
  file.value = ""; // its words are in the note now, where they can still be mended
});
text.addEventListener("input", count);
count();

for (const target of [text, drop]) {
  target.addEventListener("dragover", (event) => {
    event.preventDefault();
    document.body.classList.add("dropping");
  });
  target.addEventListener("dragleave", () => document.body.classList.remove("dropping"));
  target.addEventListener("drop", (event) => {
    document.body.classList.remove("dropping");
    if (!event.dataTransfer.files.length) return;
    event.preventDefault();
    take(event.dataTransfer.files[0]);
  });
}

document.querySelector("#begin").addEventListener("submit", (event) => {
  const button = event.currentTarget.querySelector("button[type=submit]");
  // A second press while the note is being read would begin a second recipe.
  if (button.getAttribute("aria-disabled") === "true") {
    event.preventDefault();
    return;
  }
  button.setAttribute("aria-disabled", "true");
  button.textContent = "Reading …";
  told.textContent = "The note is being read.";
});
addEventListener("pageshow", () => {
  const button = document.querySelector("#begin button[type=submit]");
  button.removeAttribute("aria-disabled");
  button.textContent = "Read the note";
});

const Listening = window.SpeechRecognition ?? window.webkitSpeechRecognition;
if (Listening) {
  const button = document.querySelector("#listen");
  document.querySelector("#speech").hidden = false;
  let ear = null;
  const stop = () => {
    ear = null;
    button.setAttribute("aria-pressed", "false");
    button.textContent = "Dictate";
  };
  button.addEventListener("click", () => {
    if (ear) {
      ear.stop();
      return;
    }
    ear = new Listening();
    ear.continuous = true;
    ear.lang = document.documentElement.lang === "en" ? navigator.language : "en-GB";
    ear.addEventListener("result", (event) => {
      for (let n = event.resultIndex; n < event.results.length; n += 1) {
        if (event.results[n].isFinal) text.value += `${event.results[n][0].transcript.trim()}\n`;
      }
      count();
    });
    ear.addEventListener("error", (event) => {
      told.textContent = `The browser could not listen (${event.error}).`;
      counted.textContent = told.textContent;
    });
    ear.addEventListener("end", stop);
    ear.start();
    button.setAttribute("aria-pressed", "true");
    button.textContent = "Stop listening";
  });
}
