/** A safety notice's text, laid out. */
import { html } from "htm/preact";
import { noticeParts } from "../../lib/notice_text.js";

/** @param {{ text: string }} props */
export function NoticeText({ text }) {
  return html`<div class="notice-text">${noticeParts(text).map((part, index) => part.kind === "list"
    ? html`<ul key=${index}>${part.lines.map((line) => html`<li key=${line}>${line}</li>`)}</ul>`
    : html`<p key=${index}>${part.text}</p>`)}</div>`;
}
