/** The supervised first charge: at most 10 A, felt after half an hour and again after two hours or more. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { feelingPath, getSigns, listSupervised, recordFeeling, startSupervised } from "../../api/checks.js";
import { getHousehold } from "../../api/home.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { ProblemNote } from "../../components/problem_note.js";
import { startPair } from "../../lib/check_flow.js";
import { FEEL_WORDS, isUnderWay } from "../../lib/first_charge.js";
import { formatInstant } from "../../lib/time.js";
import { askConfirm } from "../../state/confirm.js";
import { useResource } from "../../state/resource.js";
import { url } from "../../state/router.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { ChargeClock } from "./check/charge_clock.js";
import { ChargeStart } from "./check/charge_start.js";
import { pairWords } from "./check/choose_pair.js";
import { StopAnswer } from "./check/stop_answer.js";
import { useStop } from "./check/use_stop.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/check_types.d.ts").SignTable} SignTable */
/** @typedef {import("../../api/check_types.d.ts").SupervisedCharge} SupervisedCharge */
/** @typedef {import("../../api/check_types.d.ts").FeelAnswer} FeelAnswer */
/** @typedef {ReturnType<typeof useStop>} Stop */

/** @param {{ charge: SupervisedCharge, about: string, zone: string }} props */
function Ended({ charge, about, zone }) {
  return html`<div class="note"><p class="note-title">${about}, started ${formatInstant(charge.started_at, zone)}</p><p>${charge.words}</p>
    ${charge.state === "clear" && html`<p><a href="/outlets">Is it safe to use?</a></p>`}</div>`;
}

/** @param {{ home: Household, table: SignTable, charges: SupervisedCharge[], reload: () => void, stop: Stop }} props */
function FirstCharge({ home, table, charges, reload, stop }) {
  const [pair, setPair] = useState(() => startPair(home, new URLSearchParams(url.value.split("?")[1])));
  const starting = useSubmission();
  const feeling = useSubmission();
  const aboutOf = (/** @type {SupervisedCharge} */ charge) => pairWords(home, { outletId: charge.outlet_id, leadId: charge.lead_id ?? "" });
  const running = charges.find(isUnderWay);
  const last = charges.find((charge) => charge.outlet_id === pair.outletId);

  const start = (/** @type {number} */ currentA) => starting.run(async (key) => {
    await startSupervised(home.id, { outlet_id: pair.outletId, lead_id: pair.leadId || null, current_a: currentA }, key);
    reload();
  });
  const feel = async (/** @type {SupervisedCharge} */ charge, /** @type {FeelAnswer} */ answer) => {
    if (answer === "cool" || answer === "noticeable") {
      return feeling.run(async (key) => {
        await recordFeeling(home.id, charge.id, answer, key);
        reload();
      });
    }
    const isRight = await askConfirm({
      title: "Is that right?", text: `${FEEL_WORDS[answer]}. The charge ends, and outlet and lead are stopped at once.`,
      action: "Yes, that is right", stay: "No, go back",
    });
    if (!isRight) return undefined;
    return stop.start(table, answer, feelingPath(home.id, charge.id), { answer });
  };

  if (running) {
    return html`<${ProblemNote} problem=${feeling.problem} takesFocus />
      <${ChargeClock} charge=${running} about=${aboutOf(running)} zone=${home.zone} isBusy=${feeling.isBusy} onFeel=${(/** @type {FeelAnswer} */ answer) => feel(running, answer)} />`;
  }
  return html`${last && html`<${Ended} charge=${last} about=${aboutOf(last)} zone=${home.zone} />`}
    <${ChargeStart} home=${home} pair=${pair} onPair=${setPair} submission=${starting} onStart=${start} />`;
}

/** The supervised first charge. */
export function FirstChargePage() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  const table = useResource((reading) => getSigns(householdId, reading), [householdId]);
  const charges = useResource((reading) => listSupervised(householdId, reading), [householdId]);
  const stop = useStop(householdId);
  return html`<${Page} title="The supervised first charge" class="page-member page-check">
    ${stop.answer ? html`<${StopAnswer} answer=${stop.answer} stop=${stop} />` : html`<${Loaded} of=${home} lines=${1}>${(/** @type {Household} */ data) => data.outlets.length === 0
      ? html`<${Empty} title="No outlet has been recorded for this home"><p>Enter it in the <a href="/survey">home survey</a>, or ask your scheme's administrator.</p></${Empty}>`
      : html`<${Loaded} of=${table} lines=${1}>${(/** @type {SignTable} */ signs) =>
          html`<${Loaded} of=${charges} lines=${1}>${(/** @type {{ items: SupervisedCharge[] }} */ { items }) =>
            html`<${FirstCharge} home=${data} table=${signs} charges=${items} reload=${charges.reload} stop=${stop} />`}</${Loaded}>`}</${Loaded}>`
    }</${Loaded}>`}
  </${Page}>`;
}
