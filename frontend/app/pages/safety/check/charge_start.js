/** What the supervised first charge is, and starting it. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { Cautions } from "../../../components/cautions.js";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { leadsFor } from "../../../lib/check_flow.js";
import { allowedCurrents } from "../../../lib/first_charge.js";
import { ChoosePair, isChosen } from "./choose_pair.js";

/** @typedef {import("./choose_pair.js").Pair} Pair */

/**
 * @param {import("../../../api/types.d.ts").Household} home
 * @param {Pair} pair
 */
function currentsFor(home, pair) {
  const outlet = home.outlets.find(({ id }) => id === pair.outletId);
  const lead = leadsFor(home, pair.outletId).find(({ id }) => id === pair.leadId);
  return outlet ? allowedCurrents(outlet.limit_a, lead ? Math.min(lead.rated_a, lead.set_a) : null) : [];
}

/**
 * @param {{
 *   home: import("../../../api/types.d.ts").Household,
 *   pair: Pair,
 *   onPair: (pair: Pair) => void,
 *   submission: import("../../../state/submission.js").Submission,
 *   onStart: (currentA: number) => void,
 * }} props
 */
export function ChargeStart({ home, pair, onPair, submission, onStart }) {
  const [chosenA, setChosen] = useState(0);
  const currents = currentsFor(home, pair);
  const currentA = currents.includes(chosenA) ? chosenA : currents[currents.length - 1];
  return html`<section class="card check-card" aria-labelledby="about-it"><h2 id="about-it">Once, with somebody awake at home</h2>
      <p>An inspection sees the wiring; only hours of charging show whether plug and socket stay cool. Start when you can stay awake for two hours or more.</p>
      <ol><li>Set car and lead to at most 10 A, plug in, and start the charge at the car.</li>
        <li>After half an hour, feel plug and socket with the back of your hand.</li>
        <li>After two hours or more, feel them again. Only then does it count.</li></ol>
      <p>Any heat beyond just noticeable: say so at once. It ends the charge and stops the outlet and lead.</p>
      <${ChoosePair} home=${home} pair=${pair} onPair=${onPair} />
      ${currents.length > 0 && html`<${ChoiceGroup} spec=${{ name: "current", label: "Set to how much?", kind: "select",
        options: currents.map((amps) => ({ value: String(amps), label: `${amps} A` })) }} value=${String(currentA)} onInput=${(/** @type {string} */ amps) => setChosen(Number(amps))} />`}
      ${pair.outletId && currents.length === 0 && html`<p class="note note-warn">This lead is set to more than this outlet may carry, or to more than 10 A. Set it lower and <a href="/outlets">photograph the setting</a> first.</p>`}
      <${ProblemNote} problem=${submission.problem} takesFocus />
      <div class="form-actions"><button type="button" class="button button-main answer" disabled=${submission.isBusy || currents.length === 0 || !isChosen(home, pair)}
        onClick=${() => onStart(currentA)}>The charge is running: start the clock</button></div>
    </section>
    <${Cautions} names=${["socket_current", "fuse", "home"]} />`;
}
