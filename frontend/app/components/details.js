/** A part that opens on demand; its content is only made (and loaded) once it has been opened. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";

/** @param {{ summary: unknown, class?: string, isOpen?: boolean, children: () => unknown }} props */
export function Details({ summary, class: name = "", isOpen = false, children }) {
  const [wasOpened, setOpened] = useState(isOpen);
  return html`<details class=${name} open=${isOpen} onToggle=${() => setOpened(true)}>
    <summary>${summary}</summary>
    ${wasOpened && html`<div class="details-body">${children()}</div>`}
  </details>`;
}
