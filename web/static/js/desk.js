// The desk by keyboard. Every key presses a button or follows a link that is on the page anyway;
// keys are off while a field is being written in, and can be switched off for good.
const OFF = "desk-keys-off";
const rows = [...document.querySelectorAll("[data-row], .pile > li")];
const panel = document.querySelector("[data-keys]");
let at = -1;

function byKey(key) {
  const wanted = `[data-key="${key}"]:not([hidden])`;
  return rows[at]?.querySelector(wanted) ?? document.querySelector(wanted);
}
const off = () => localStorage.getItem(OFF) === "yes";
const writing = (element) => element.matches("input:not([type=checkbox]):not([type=radio]), textarea, select, [contenteditable]");

function go(step) {
  rows[at]?.classList.remove("at");
  at = Math.min(Math.max(at + step, 0), rows.length - 1);
  rows[at].classList.add("at");
  const target = rows[at].querySelector("a") ?? rows[at];
  (rows[at].matches("[data-row]") ? rows[at] : target).focus({ preventScroll: true });
  rows[at].scrollIntoView({ block: "nearest" });
}

const here = (selector) => (rows[at] ?? document).querySelector(selector);
const inRows = rows.length > 0 && rows[0].matches("[data-row]");

function edit() {
  const field = here("textarea");
  if (field) { field.focus(); field.setSelectionRange(0, 0); }
  return field;
}

function copyRow() {
  if (at < 0) go(1);
  here("[data-copy]").click();
  if (at < rows.length - 1) go(1);
}

function act(key) {
  if (key === "e") return edit();
  if (rows.length && key === "j") return go(1), true;
  if (rows.length && key === "k") return go(-1), true;
  if (inRows && key === "c") return copyRow(), true;
  if (inRows && key === "x") return at < 0 ? false : (here("[data-tick]").click(), true);
  const control = byKey(key);
  if (!control) return false;
  if (control.matches("select")) control.focus();
  else control.click();
  return true;
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing || event.repeat) return;
  if (event.key === "Escape" && writing(document.activeElement)) return document.activeElement.blur();
  if (off() || writing(document.activeElement)) return;
  if (act(event.key)) event.preventDefault();
});

// The keys are shown on what they press, and in a panel with the switch.
function show() {
  for (const control of document.querySelectorAll("[data-key]")) {
    if (off()) control.removeAttribute("aria-keyshortcuts");
    else control.setAttribute("aria-keyshortcuts", control.dataset.key);
  }
}
if (panel) {
  panel.hidden = false;
  const box = panel.querySelector("[data-keys-on]");
  box.checked = !off();
  box.addEventListener("change", () => { localStorage.setItem(OFF, box.checked ? "no" : "yes"); show(); });
}
show();

// How long a reply is, and whether its place allows that.
for (const field of document.querySelectorAll("[data-longest]")) {
  const tally = document.getElementById(field.getAttribute("aria-describedby"));
  const longest = Number(field.dataset.longest);
  const count = () => {
    const length = [...field.value].length;
    tally.textContent = `${length} of ${longest} characters${length > longest ? ": too long for this place" : ""}`;
    tally.classList.toggle("over", length > longest);
  };
  field.addEventListener("input", count);
  count();
}

// A form is sent once, however often it is pressed.
for (const form of document.querySelectorAll('form[method="post"]')) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
}
addEventListener("pageshow", () => { for (const form of document.forms) delete form.dataset.sent; });
