/** What an empty list says: why it is empty and what to do next. */
import { html } from "htm/preact";

/** @param {{ title: string, children?: unknown }} props */
export function Empty({ title, children }) {
  return html`<div class="empty"><p class="empty-title">${title}</p>${children}</div>`;
}
