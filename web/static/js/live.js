// Works a sum out again whenever a figure changes: the same page is fetched, and its parts put in
// the place of the old ones. What one types in is never touched.
const PAUSE_MS = 350;
const PARTS = ["problems", "outcome", "more"];

export function follow(form) {
  let wait, request;

  async function work() {
    const query = new URLSearchParams(new FormData(form));
    for (const [name, value] of [...query]) if (!value.trim()) query.delete(name);
    const address = `${form.action.split("#")[0]}?${query}`;
    request?.abort();
    request = new AbortController();
    const outcome = document.getElementById("outcome");
    outcome.classList.add("busy");
    try {
      const answer = await fetch(address, { signal: request.signal });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (PARTS.every((part) => page.getElementById(part))) put(page, address, answer.ok);
    } catch { /* typed on, or no connection: the button still works */ }
    outcome.classList.remove("busy");
  }

  function put(page, address, good) {
    for (const part of PARTS) {
      if (!good && part !== "problems") continue;
      document.getElementById(part).replaceChildren(...page.getElementById(part).childNodes);
    }
    for (const button of document.querySelectorAll("[data-copy]")) button.hidden = false;
    if (!good) return say("");
    document.body.className = page.body.className;
    document.querySelector(".bench").className = page.querySelector(".bench").className;
    const amounts = [...document.querySelectorAll("#outcome .gauges > div")];
    const words = amounts.map((one) => `${one.querySelector("dt").textContent}: ${one.querySelector(".amount").textContent}`);
    say(words.join("; "));
    history.replaceState(null, "", address);
  }

  function say(words) {
    document.getElementById("worked-out").textContent = words;
  }

  form.addEventListener("input", () => {
    clearTimeout(wait);
    if (form.checkValidity()) wait = setTimeout(work, PAUSE_MS);
  });
}
