/** Cautions where they matter, and a plain statement of what this tool is not. */
import { html } from "htm/preact";
import { CAUTIONS, WHAT_IT_IS_NOT } from "../lib/caution_words.js";

/** @param {{ names: import("../lib/caution_words.js").CautionName[], title?: string }} props */
export function Cautions({ names, title = "Bear in mind" }) {
  return html`<div class="note"><p class="note-title">${title}</p>
    <ul>${names.map((name) => html`<li key=${name}>${CAUTIONS[name]}</li>`)}</ul></div>`;
}

/** What nobody should take this tool for. */
export function WhatItIsNot() {
  return html`<section class="card" aria-labelledby="what-it-is-not"><h2 id="what-it-is-not">What this is not</h2>
    <ul>${WHAT_IT_IS_NOT.map((text) => html`<li key=${text}>${text}</li>`)}</ul></section>`;
}
