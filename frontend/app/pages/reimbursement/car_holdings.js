/** Whose car each car is, asked plainly: it decides by which rate its business miles are paid. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addHolding, deleteHolding } from "../../api/trips.js";
import { ChoiceGroup } from "../../components/choice_group.js";
import { Details } from "../../components/details.js";
import { Field } from "../../components/field.js";
import { ProblemNote } from "../../components/problem_note.js";
import { HELD_WORDS } from "../../lib/claim_words.js";
import { fieldFault } from "../../lib/problem.js";
import { formatDate } from "../../lib/time.js";
import { choices } from "../../lib/wording.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/claim_types.d.ts").CarHolding} CarHolding */
/** @typedef {{ id: string, label: string }} Car */

/** @param {{ car: Car, from: string, onSaved: () => void, onCancel?: () => void }} props */
function HoldingForm({ car, from, onSaved, onCancel }) {
  const submission = useSubmission();
  const [held, setHeld] = useState("");
  const [day, setDay] = useState(from);
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    submission.run(async (key) => {
      await addHolding(ownHouseholdId(), { vehicle_id: car.id, from_on: day, held_as: held }, key);
      say(`${car.label}: ${(/** @type {Record<string, string>} */ (HELD_WORDS))[held].toLowerCase()} from ${formatDate(day)}.`);
      onSaved();
    });
  };
  const question = /** @type {const} */ ({
    name: "held_as", label: `Whose car is the ${car.label}?`, kind: "select", options: choices(HELD_WORDS),
    hint: "A company car is one your employer provides, also by salary sacrifice. Your own is one you bought, lease or borrow yourself.",
  });
  const since = /** @type {const} */ ({ name: "from_on", label: "Since", kind: "date", isRequired: true });
  return html`<form class="form" onSubmit=${save}>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <${ChoiceGroup} spec=${question} value=${held} onInput=${setHeld} fault=${fieldFault(submission.problem, "held_as")} />
    <div class="form-fields"><${Field} spec=${since} value=${day} onInput=${setDay} fault=${fieldFault(submission.problem, "from_on")} /></div>
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy || held === ""}>${submission.isBusy ? "Saving…" : "Save"}</button>
      ${onCancel && html`<button type="button" class="button" onClick=${onCancel}>Cancel</button>`}</div>
  </form>`;
}

/** @param {{ car: Car, kept: CarHolding[], today: string, onChange: () => void }} props */
function KnownCar({ car, kept, today, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const removal = useSubmission({ onStale: onChange });
  const remove = (/** @type {CarHolding} */ one) => removal.run(async () => {
    await deleteHolding(ownHouseholdId(), one.id);
    say("Record removed.");
    onChange();
  });
  return html`<div><${ProblemNote} problem=${removal.problem} takesFocus />
    <ul class="row-list">${kept.map((one) => html`<li key=${one.id} class="row-item"><div><p><strong>${car.label}</strong>: ${HELD_WORDS[one.held_as].toLowerCase()}, since ${formatDate(one.from_on)}</p></div>
      <div class="row-actions"><button type="button" class="button button-quiet" disabled=${removal.isBusy} onClick=${() => remove(one)}>Remove<span class="unseen"> what was said of the ${car.label} from ${formatDate(one.from_on)}</span></button></div></li>`)}</ul>
    ${isOpen
      ? html`<div class="inset"><${HoldingForm} car=${car} from=${today} onSaved=${() => { setOpen(false); onChange(); }} onCancel=${() => setOpen(false)} /></div>`
      : html`<button type="button" class="button button-quiet" onClick=${() => setOpen(true)}>It became another<span class="unseen">: ${car.label}</span></button>`}</div>`;
}

/**
 * Cars nobody has said of come first and open; the others are out of the way.
 * @param {{ cars: Car[], holdings: CarHolding[], month: string, today: string, onChange: () => void }} props
 */
export function CarHoldings({ cars, holdings, month, today, onChange }) {
  const keptOf = (/** @type {Car} */ car) => holdings.filter(({ vehicle_id: id }) => id === car.id);
  const unknown = cars.filter((car) => keptOf(car).length === 0);
  const known = cars.filter((car) => keptOf(car).length > 0);
  return html`
    ${unknown.map((car) => html`<section key=${car.id} class="card" aria-label=${`Whose car: ${car.label}`}>
      <${HoldingForm} car=${car} from=${`${month}-01`} onSaved=${onChange} /></section>`)}
    ${known.length > 0 && html`<${Details} class="card" summary="Whose cars they are">${() => known.map((car) =>
      html`<${KnownCar} key=${car.id} car=${car} kept=${keptOf(car)} today=${today} onChange=${onChange} />`)}</${Details}>`}
  `;
}
