// Shows pages that may answer while a question is typed. Arrow down leads into the list, arrow up
// and Escape lead back to the box.
const PAUSE_MS = 180;

export function follow(box) {
  const list = document.getElementById(box.dataset.list);
  const said = document.getElementById(`${box.dataset.list}-said`);
  let wait, last = "", request;

  async function look() {
    const text = box.value.trim();
    if (text === last) return;
    last = text;
    request?.abort();
    if (text.length < 2) return show("");
    request = new AbortController();
    try {
      const answer = await fetch(`${box.dataset.find}?q=${encodeURIComponent(text)}`, { signal: request.signal });
      if (answer.ok) show(await answer.text());
    } catch { /* typed on, or no connection: the list stays as it is, the button still works */ }
  }

  function show(items) {
    list.innerHTML = items.trim();
    const number = list.children.length;
    said.textContent = number ? `${number} pages may answer this` : "";
  }

  box.addEventListener("input", () => { clearTimeout(wait); wait = setTimeout(look, PAUSE_MS); });
  box.addEventListener("keydown", (event) => {
    const atEnd = box.selectionStart === box.value.length;
    if (event.key === "ArrowDown" && atEnd && list.firstElementChild) {
      event.preventDefault();
      list.querySelector("a").focus();
    }
  });
  list.addEventListener("keydown", (event) => {
    const links = [...list.querySelectorAll("a")];
    const place = links.indexOf(document.activeElement);
    const next = { ArrowDown: place + 1, ArrowUp: place - 1, Escape: -1 }[event.key];
    if (next === undefined) return;
    event.preventDefault();
    (links[next] ?? (next < 0 ? box : links[place])).focus();
  });
}
