/** Which outlet and lead it is about; asked only where there are several. */
import { html } from "htm/preact";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { leadsFor, startLead } from "../../../lib/check_flow.js";

/** @typedef {{ outletId: string, leadId: string }} Pair */
/** @typedef {{ id: string, label: string }} Item */

const ofItem = (/** @type {Item} */ { id, label }) => ({ value: id, label });

/**
 * Is everything chosen that has to be?
 * @param {import("../../../api/types.d.ts").Household} home
 * @param {Pair} pair
 */
export function isChosen(home, pair) {
  return pair.outletId !== "" && (pair.leadId !== "" || leadsFor(home, pair.outletId).length === 0);
}

/**
 * The labels of what was chosen: "garage socket with portable lead".
 * @param {import("../../../api/types.d.ts").Household} home
 * @param {Pair} pair
 */
export function pairWords(home, pair) {
  const outlet = home.outlets.find(({ id }) => id === pair.outletId)?.label ?? "outlet";
  const lead = home.leads.find(({ id }) => id === pair.leadId)?.label;
  return lead ? `${outlet} with ${lead}` : outlet;
}

/**
 * @param {{
 *   home: import("../../../api/types.d.ts").Household,
 *   pair: Pair,
 *   onPair: (pair: Pair) => void,
 * }} props
 */
export function ChoosePair({ home, pair, onPair }) {
  const leads = leadsFor(home, pair.outletId);
  return html`
    ${home.outlets.length > 1 && html`<${ChoiceGroup} spec=${{ name: "outlet", label: "Which outlet?", kind: "select", options: home.outlets.map(ofItem) }}
      value=${pair.outletId} onInput=${(/** @type {string} */ outletId) => onPair({ outletId, leadId: startLead(home, outletId, pair.leadId) })} />`}
    ${leads.length > 1 && html`<${ChoiceGroup} spec=${{ name: "lead", label: "Which lead?", kind: "select", options: leads.map(ofItem) }}
      value=${pair.leadId} onInput=${(/** @type {string} */ leadId) => onPair({ ...pair, leadId })} />`}
    ${pair.outletId && html`<p>About: <strong>${pairWords(home, pair)}</strong></p>`}
  `;
}
