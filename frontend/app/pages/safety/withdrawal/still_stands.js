/** What still stands in a home after an entry was withdrawn: every outlet and lead, read anew. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { getHousehold } from "../../../api/home.js";
import { ClearanceTag } from "../../../components/clearance_tag.js";
import { Loaded } from "../../../components/loaded.js";
import { datesInWords } from "../../../lib/record_dates.js";
import { useResource } from "../../../state/resource.js";

/** @typedef {import("../../../api/types.d.ts").Household} Household */

/**
 * Every outlet and lead with its word and what it lacks.
 * @param {Household} home
 * @returns {{ id: string, label: string, clearance: import("../../../api/types.d.ts").ClearanceWord, missing: string[] }[]}
 */
export function standingsOf(home) {
  return [
    ...home.clearances.map(({ outlet_id: id, outlet_label: label, clearance, missing }) => ({ id, label, clearance, missing })),
    ...home.lead_clearances.map(({ lead_id: id, lead_label: label, clearance, missing }) => ({ id, label, clearance, missing })),
  ];
}

/** @param {{ householdId: string }} props */
export function StillStands({ householdId }) {
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), []);
  return html`<section class="card" aria-labelledby="still-stands"><h2 id="still-stands" tabindex="-1" ref=${heading}>Withdrawn. What stands now</h2>
    <${Loaded} of=${home} lines=${2} size="line">${(/** @type {Household} */ data) => html`<ul class="row-list">${standingsOf(data).map(({ id, label, clearance, missing }) => html`<li key=${id} class="row-item">
      <div><p><strong>${label}</strong> <${ClearanceTag} clearance=${clearance} /></p>${missing.length > 0 && html`<p class="small">Missing: ${missing.map(datesInWords).join("; ")}</p>`}</div></li>`)}</ul>`}</${Loaded}>
    <p class="small">Only evidence clears an outlet; a withdrawal takes back what the entry had stopped and nothing else.</p></section>`;
}
