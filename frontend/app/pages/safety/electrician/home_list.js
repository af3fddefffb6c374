/** The homes of a link: those open today, those that open on another day, those already recorded. */
import { html } from "htm/preact";
import { Page } from "../../../components/page.js";
import { NEVER_CERTIFIES } from "../../../lib/inspection_words.js";
import { counted } from "../../../lib/quantity.js";
import { formatFarInstant } from "../../../lib/record_dates.js";
import { formatDate } from "../../../lib/time.js";
import { hrefOf } from "./address.js";
import { FromMemory } from "./draft_status.js";

/** @typedef {import("../../../api/visit_types.d.ts").LinkedVisit} LinkedVisit */

const ZONE = "Europe/London";

/**
 * How a home of the list stands.
 * @param {LinkedVisit} visit
 * @returns {string}
 */
export function visitStanding(visit) {
  if (visit.is_spent) return "Closed: recorded or called off";
  if (!visit.is_open) return `Opens on ${formatDate(visit.opens_on)}`;
  return "Open";
}

/** @param {{ visit: LinkedVisit }} props */
function HomeItem({ visit }) {
  const isOpen = visit.is_open && !visit.is_spent;
  return html`<li class="card home-item">
    <div class="card-head"><h2 class="card-title">Home ${visit.reference}</h2><span class="tag">${visitStanding(visit)}</span></div>
    <p>${[visit.address, visit.postcode].filter(Boolean).join(", ") || "The address shows on the day it opens."}</p>
    <p class="small">${counted(visit.outlets.length, "outlet")}: ${visit.outlets.map(({ label }) => label).join(", ")}</p>
    ${isOpen && html`<a class="button button-main button-wide" href=${hrefOf({ visit: visit.visit_id })}>Open<span class="unseen"> home ${visit.reference}</span></a>`}
  </li>`;
}

/** @param {{ link: import("../../../api/visit_types.d.ts").LinkView, isFromMemory: boolean }} props */
export function HomeList({ link, isFromMemory }) {
  const rank = (/** @type {LinkedVisit} */ visit) => (visit.is_spent ? 2 : visit.is_open ? 0 : 1);
  const homes = [...link.visits].sort((left, right) => rank(left) - rank(right) || left.opens_on.localeCompare(right.opens_on));
  return html`<${Page} title="Homes to inspect" class="page-inspect"
    lead=${`For ${link.scheme_name}${link.electrician ? `, ${link.electrician}` : ""}. This link holds until ${formatFarInstant(link.expires_at, ZONE)}.`}>
    <${FromMemory} isShown=${isFromMemory} />
    <ul class="cards">${homes.map((visit) => html`<${HomeItem} key=${visit.visit_id} visit=${visit} />`)}</ul>
    <p class="small">${NEVER_CERTIFIES}</p>
  </${Page}>`;
}
