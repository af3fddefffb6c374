/** Grey lines in the place of what is being loaded, as tall as what will come. */
import { html } from "htm/preact";

/** @param {{ lines?: number, size?: "line" | "card" | "chart" }} props */
export function Skeleton({ lines = 3, size = "line" }) {
  return html`
    <div class="skeleton" role="status">
      <span class="unseen">Loading</span>
      ${Array.from({ length: lines }, (_, place) => html`<div key=${place} class=${`skeleton-${size}`}></div>`)}
    </div>
  `;
}
