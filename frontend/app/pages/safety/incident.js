/** Report that something is wrong or happened: one tap, one question, and what to do now. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getSigns, incidentPath } from "../../api/checks.js";
import { getHousehold } from "../../api/home.js";
import { ChoiceGroup } from "../../components/choice_group.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { incidentEntry, incidentGroups, stopWords, whatToAsk } from "../../lib/incident_groups.js";
import { askConfirm } from "../../state/confirm.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { StopAnswer } from "./check/stop_answer.js";
import { useStop } from "./check/use_stop.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/check_types.d.ts").SignTable} SignTable */
/** @typedef {import("../../api/check_types.d.ts").Sign} Sign */
/** @typedef {ReturnType<typeof useStop>} Stop */

const NOT_SURE = { value: "", label: "I am not sure" };

/**
 * Which outlet or lead it was, where there are several.
 * @param {{ home: Household, sign: Sign, onChosen: (chosen: { outletId: string, leadId: string }) => void, onBack: () => void }} props
 */
function WhichOne({ home, sign, onChosen, onBack }) {
  const [chosen, setChosen] = useState({ outletId: "", leadId: "" });
  const asked = whatToAsk(sign, home);
  const options = (/** @type {{ id: string, label: string }[]} */ items) => [...items.map(({ id, label }) => ({ value: id, label })), NOT_SURE];
  return html`<section class="card check-card" aria-labelledby="which"><h2 id="which">${sign.words}</h2>
    <p class="small">Not sure counts for all of them.</p>
    ${asked.outlet && html`<${ChoiceGroup} spec=${{ name: "outlet", label: "At which outlet?", kind: "select", options: options(home.outlets) }}
      value=${chosen.outletId} onInput=${(/** @type {string} */ outletId) => setChosen({ ...chosen, outletId })} />`}
    ${asked.lead && html`<${ChoiceGroup} spec=${{ name: "lead", label: "With which lead?", kind: "select", options: options(home.leads) }}
      value=${chosen.leadId} onInput=${(/** @type {string} */ leadId) => setChosen({ ...chosen, leadId })} />`}
    <div class="form-actions"><button type="button" class="button button-main" onClick=${() => onChosen(chosen)}>Go on</button>
      <button type="button" class="button" onClick=${onBack}>Back</button></div>
  </section>`;
}

/** @param {{ home: Household, table: SignTable, stop: Stop }} props */
function Incidents({ home, table, stop }) {
  const [picked, setPicked] = useState(/** @type {Sign | null} */ (null));
  const report = async (/** @type {Sign} */ sign, /** @type {{ outletId: string, leadId: string }} */ chosen) => {
    const isRight = await askConfirm({
      title: "Is that right?", text: `${sign.words}. ${stopWords(sign)}, at once.`, action: "Yes, that is right", stay: "No, go back",
    });
    if (!isRight) return undefined;
    return stop.start(table, sign.sign, incidentPath(home.id), incidentEntry(sign, home, chosen));
  };
  const pick = (/** @type {Sign} */ sign) => {
    const asked = whatToAsk(sign, home);
    if (asked.outlet || asked.lead) setPicked(sign);
    else report(sign, { outletId: "", leadId: "" });
  };
  if (picked) return html`<${WhichOne} home=${home} sign=${picked} onBack=${() => setPicked(null)} onChosen=${(/** @type {any} */ chosen) => report(picked, chosen)} />`;
  return html`${incidentGroups(table.signs).map(({ name, title, signs }) => html`<section key=${name} class="card" aria-labelledby=${`group-${name}`}>
    <h2 id=${`group-${name}`}>${title}</h2>
    <ul class="tap-list">${signs.map((sign) => html`<li key=${sign.sign}><button type="button" class="button answer" onClick=${() => pick(sign)}>
      <span>${sign.words}<span class="cell-note">${stopWords(sign)}</span></span></button></li>`)}</ul>
  </section>`)}`;
}

/** Report something. */
export function IncidentPage() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  const table = useResource((reading) => getSigns(householdId, reading), [householdId]);
  const stop = useStop(householdId);
  return html`<${Page} title="What is wrong?" class="page-member page-check" lead="Tap what you noticed or what happened. In danger, or if anything burns: leave and ring 999 first.">
    ${stop.answer ? html`<${StopAnswer} answer=${stop.answer} stop=${stop} />` : html`<${Loaded} of=${home} lines=${2}>${(/** @type {Household} */ data) =>
      html`<${Loaded} of=${table} lines=${2}>${(/** @type {SignTable} */ signs) => html`<${Incidents} home=${data} table=${signs} stop=${stop} />`}</${Loaded}>`
    }</${Loaded}>`}
  </${Page}>`;
}
