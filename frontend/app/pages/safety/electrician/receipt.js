/** What was recorded, in plain words, after submitting. */
import { html } from "htm/preact";
import { Page } from "../../../components/page.js";
import { NEVER_CERTIFIES, NOT_VERIFIED } from "../../../lib/inspection_words.js";
import { sentence } from "../../../lib/problem.js";
import { formatDate } from "../../../lib/time.js";

/** @typedef {import("../../../api/visit_types.d.ts").OutletResult} OutletResult */

/**
 * @typedef {object} Told
 * @property {import("../../../api/visit_types.d.ts").VisitView} view
 * @property {import("../../../api/visit_types.d.ts").VisitResult} result
 * @property {import("../../../api/visit_types.d.ts").Submitted} reply
 */

/**
 * What was recorded of one outlet.
 * @param {string} label
 * @param {OutletResult} outlet
 * @param {string} electrician
 * @returns {string}
 */
export function recordedWords(label, outlet, electrician) {
  const open = outlet.observations.filter(({ code, closed_on: closed }) => code !== "C3" && !closed).map(({ code }) => code);
  const stops = open.length > 0 ? ` With ${[...new Set(open)].join(", ")} open, the scheme's members are told not to use it.` : "";
  return `${label}: recorded as inspected on ${formatDate(outlet.inspected_on)} by ${electrician}, next due on ${formatDate(outlet.next_due_on)}.${stops}`;
}

/**
 * Whether it counts already.
 * @param {import("../../../api/visit_types.d.ts").Submitted} reply
 * @returns {string}
 */
export function countsWords({ is_partial: isPartial, is_accepted: isAccepted, waits_because: because }) {
  if (isPartial) return "The readings are still to come: until then the outlets stay not known. This link stays open for them.";
  if (isAccepted) return "It counts from now on, because you are on the scheme's list.";
  return `It waits to be accepted. ${sentence(because) || "A safety officer compares it with the document."}`;
}

/**
 * @param {{ told: Told, link: import("../../../api/visit_types.d.ts").LinkView, onClose: () => void }} props
 */
export function Receipt({ told, link, onClose }) {
  const { view, result } = told;
  const labelOf = (/** @type {string} */ id) => view.outlets.find((outlet) => outlet.id === id)?.label ?? "Outlet";
  const isLast = !result.is_partial && link.visits.every(({ visit_id: id, is_spent: isSpent }) => isSpent || id === view.visit_id);
  return html`<${Page} title=${result.is_partial ? "Certificate recorded" : "Recorded"} class="page-inspect" lead=${`Home ${view.home.reference}, ${link.scheme_name}`}>
    <div class="card"><ul>${result.outlets.map((outlet) => html`<li key=${outlet.outlet_id}>${recordedWords(labelOf(outlet.outlet_id), outlet, result.electrician_name)}</li>`)}</ul></div>
    <p>${countsWords(told.reply)}</p>
    <p>${NOT_VERIFIED}</p>
    <p>${NEVER_CERTIFIES}</p>
    ${isLast ? html`<p><strong>This link is now spent.</strong> For a correction within 7 days ask the scheme that sent it; you may close this page.</p>`
      : html`<a class="button button-main button-wide" href="/inspect" onClick=${onClose}>${result.is_partial ? "Back to the homes" : "Next home"}</a>`}
  </${Page}>`;
}
