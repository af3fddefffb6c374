/** The frame of every page: title, one h1 that takes the focus after a change of page, actions beside it. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { visits } from "../state/router.js";

/**
 * @param {{ title: string, lead?: unknown, actions?: unknown, class?: string, children?: unknown }} props
 */
export function Page({ title, lead, actions, class: name = "", children }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => {
    document.title = `${title} · Plugward`;
  }, [title]);
  useEffect(() => {
    if (visits.peek() > 0) heading.current?.focus({ preventScroll: true });
  }, []);
  return html`
    <div class=${`page ${name}`}>
      <div class="page-head">
        <h1 ref=${heading} tabindex="-1">${title}</h1>
        ${actions && html`<div class="page-actions">${actions}</div>`}
      </div>
      ${lead && html`<p class="lead">${lead}</p>`}
      ${children}
    </div>
  `;
}
