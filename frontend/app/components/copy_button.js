/** Put a text on the clipboard, and say so; where the browser refuses, the text stands beside it to be copied by hand. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";

/** @param {{ text: string, label: string }} props */
export function CopyButton({ text, label }) {
  const [said, setSaid] = useState("");
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(text);
      setSaid("Copied.");
    } catch {
      setSaid("The browser did not allow it: mark the text and copy it by hand.");
    }
  };
  return html`<span class="copy"><button type="button" class="button" onClick=${copy}>${label}</button> <span role="status">${said}</span></span>`;
}
