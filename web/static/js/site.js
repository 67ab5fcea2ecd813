// Copy buttons. Pages work without this; the buttons stay hidden until it runs.
for (const button of document.querySelectorAll("[data-copy]")) {
  const source = document.getElementById(button.dataset.copy);
  const words = button.textContent;
  button.hidden = false;
  button.addEventListener("click", async () => {
    const text = "value" in source ? source.value : source.innerText;
    button.textContent = (await copied(text, source)) ? "Copied" : "Select and copy by hand";
    setTimeout(() => { button.textContent = words; }, 2500);
  });
}

async function copied(text, source) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    // Clipboard access is refused on plain http: select the text so that one key copies it.
    if ("select" in source) source.select();
    else getSelection().selectAllChildren(source);
    return document.execCommand("copy");
  }
}
