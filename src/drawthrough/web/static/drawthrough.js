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
