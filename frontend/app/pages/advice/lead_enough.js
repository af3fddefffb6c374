/** Is the lead enough: the verdict first, what it rests on, what would close the gap, and how sure it is. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listVehicles } from "../../api/households.js";
import { getLeadVerdict } from "../../api/lead.js";
import { ChoiceGroup } from "../../components/choice_group.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { LeadAnswerParts } from "./lead_answer.js";
import { LeadNotKnown, LeadVerdictBox } from "./lead_verdict_box.js";

/** @typedef {import("../../api/lead_types.d.ts").LeadVerdict} LeadVerdict */
/** @typedef {import("../../api/types.d.ts").Vehicle} Vehicle */
/** @typedef {import("../../lib/lead_words.js").LeadAsked} LeadAsked */

/** @param {{ vehicleId: string }} props */
function OfOneCar({ vehicleId }) {
  const householdId = ownHouseholdId();
  const [asked, setAsked] = useState(/** @type {LeadAsked} */ ({}));
  const verdict = useResource((reading) => getLeadVerdict(householdId, vehicleId, asked, reading), [vehicleId, asked]);
  const ask = (/** @type {LeadAsked} */ more) => setAsked((old) => ({ ...old, ...more }));
  return html`<${Loaded} of=${verdict} lines=${3} size="card">${(/** @type {LeadVerdict} */ data) => html`
    <${LeadVerdictBox} verdict=${data} />
    ${data.answer
      ? html`<${LeadAnswerParts} verdict=${data} answer=${data.answer} asked=${asked} onAsk=${ask} isBusy=${verdict.isLoading} />`
      : html`<${LeadNotKnown} verdict=${data} />`}
  `}</${Loaded}>`;
}

/** @param {{ cars: Vehicle[] }} props */
function Cars({ cars }) {
  const [chosen, setChosen] = useState(cars[0].id);
  const spec = /** @type {const} */ ({ name: "car", label: "Which car", kind: "select", options: cars.map(({ id, label }) => ({ value: id, label })) });
  return html`
    ${cars.length > 1 && html`<${ChoiceGroup} spec=${spec} value=${chosen} onInput=${setChosen} />`}
    <${OfOneCar} key=${chosen} vehicleId=${chosen} />
  `;
}

/** Is the lead enough. */
export function LeadEnoughPage() {
  const householdId = ownHouseholdId();
  const cars = useResource((reading) => listVehicles(householdId, reading), [householdId]);
  return html`<${Page} title="Is the lead enough?" class="page-member page-lead" lead=${html`<a href="/money">All money questions</a>. This is about energy, not safety: whether the outlet may be used comes first.`}>
    <${Loaded} of=${cars} lines=${2} size="card">${(/** @type {{ items: Vehicle[] }} */ { items }) =>
      items.length === 0
        ? html`<${Empty} title="No car has been entered for this home"><p>Ask your scheme's administrator to enter it.</p></${Empty}>`
        : html`<${Cars} cars=${items} />`}</${Loaded}>
  </${Page}>`;
}
