// The small moves that a page cannot make by itself. Without this file every page still works.

// A connection that is gone is said, once, where the thumb is.
document.addEventListener("htmx:error", () => {
  const toast = document.getElementById("toast");
  toast.textContent = toast.dataset.offline;
  toast.hidden = false;
});
document.addEventListener("htmx:after:swap", () => {
  document.getElementById("toast").hidden = true;
});

// Photos are made smaller before they leave the device; drawing them anew also drops where they were taken.
document.addEventListener("change", async (event) => {
  const input = event.target;
  const side = Number(input.dataset?.shrink);
  if (!side || !input.files?.length || !window.createImageBitmap) return;
  let picture;
  try {
    picture = await createImageBitmap(input.files[0], { imageOrientation: "from-image" });
  } catch {
    return; // not a picture: the application says so
  }
  const scale = Math.min(1, side / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.82));
  if (!blob) return;
  const smaller = new DataTransfer();
  smaller.items.add(new File([blob], "photo.jpg", { type: "image/jpeg" }));
  input.files = smaller.files;
});

// The minus is missing on some phones' keypads: one key turns the sign.
document.addEventListener("click", (event) => {
  if (!event.target.closest?.("[data-sign]")) return;
  const value = document.getElementById("value");
  value.value = /^[-\u2212]/.test(value.value) ? value.value.slice(1) : "-" + value.value;
  value.focus();
  value.dispatchEvent(new Event("input", { bubbles: true }));
});

// Ready words for the complaint: a press puts one into the text.
for (const words of document.querySelectorAll("[data-words]")) {
  words.hidden = false;
  words.addEventListener("click", (event) => {
    if (event.target.tagName !== "BUTTON") return;
    const text = document.getElementById(words.dataset.words);
    text.value = [text.value.trim(), event.target.textContent].filter(Boolean).join(", ");
    text.focus();
  });
}

// The caret waits on the writing line, without scrolling the page under the eyes of whoever reads it.
const writeHere = () => {
  if (document.activeElement === document.body) document.querySelector("[data-focus]")?.focus({ preventScroll: true });
};
document.addEventListener("htmx:after:swap", writeHere);
writeHere();
document.querySelector("[data-select]")?.select(); // what is corrected is typed over

// A row that was just written rises above the writing line, with the first line of what it adds up to.
const lastRow = () => document.querySelector("#written > article:last-child");
let seenRow = lastRow()?.id;
document.addEventListener("htmx:after:swap", () => {
  const row = lastRow();
  const line = document.getElementById("writing");
  if (!row || !line || row.id === seenRow) return;
  seenRow = row.id;
  const judged = document.querySelector(".judged p");
  const under = Math.max(row.getBoundingClientRect().bottom, judged?.getBoundingClientRect().bottom ?? 0);
  const head = document.querySelector(".head").getBoundingClientRect().bottom;
  const hidden = under - line.getBoundingClientRect().top;
  window.scrollBy(0, Math.min(hidden, row.getBoundingClientRect().top - Math.max(head, 0)));
});

// Timers: counted from the moment at which they end, so that a locked phone or a reload loses nothing. Each is spoken of
// once for its end, once before a label's time is over and once after it.
const timers = document.querySelector(".timers");
if (timers) {
  const NEAR = 60_000; // so long before a label's time is over it is said (judgement)
  const title = document.title;
  const clocked = (ms) => {
    const seconds = Math.ceil(ms / 1000);
    const pair = (n) => String(n).padStart(2, "0");
    const hours = Math.floor(seconds / 3600);
    return (hours ? `${hours}:` : "") + `${pair(Math.floor(seconds / 60) % 60)}:${pair(seconds % 60)}`;
  };
  const once = (key) => {
    try {
      if (sessionStorage.getItem(key)) return false;
      sessionStorage.setItem(key, "1");
    } catch {
      if (timers.dataset[key]) return false;
      timers.dataset[key] = "1";
    }
    return true;
  };
  const speakUp = (text) => {
    document.getElementById("spoken").textContent = text;
    navigator.vibrate?.([400, 200, 400]);
    if (!window.speechSynthesis) return;
    const words = new SpeechSynthesisUtterance(text);
    words.lang = document.documentElement.lang;
    speechSynthesis.speak(words);
  };
  const look = () => {
    const now = Date.now();
    let loud = "";
    for (const timer of timers.querySelectorAll("[data-timer]")) {
      const { timer: id, until, most, say, near, past } = timer.dataset;
      const over = now - Number(until);
      const rest = Number(most) - now; // until the label's time is over
      const minutes = Math.floor(over / 60_000);
      const told = minutes ? timers.dataset.since.replace("{minutes}", minutes) : timers.dataset.over;
      timer.querySelector("[data-clock]").textContent =
        over < 0 ? timers.dataset.left.replace("{time}", clocked(-over)) : told;
      timer.classList.toggle("over", over >= 0);
      if (over >= 0) loud ||= timer.querySelector("b").textContent;
      // The most urgent of what has not been said; what it overtakes needs no saying any more.
      const due = [
        [Number(most) > 0 && rest < 0, `past-${id}`, past],
        [Number(most) > 0 && rest < NEAR && over >= 0, `near-${id}`, near],
        [over >= 0, `over-${id}`, say],
      ].filter(([is]) => is);
      const fresh = due.map(([, key]) => once(key));
      if (fresh[0]) speakUp(due[0][2]);
    }
    document.title = loud ? `\u25CF ${loud} \u00B7 ${title}` : title;
  };
  look();
  setInterval(look, 1000);
  document.addEventListener("visibilitychange", () => document.hidden || look());
}
