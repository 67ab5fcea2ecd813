// Puts the text of an element on the clipboard; tells whether that worked.
export async function copied(source) {
  const text = "value" in source ? source.value : source.innerText;
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
