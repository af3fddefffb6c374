/** One visit: why, who comes and when, what it costs, and the steps it took. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { changeVisit, getVisit, listElectricians, moveVisit } from "../../../api/visits.js";
import { Details } from "../../../components/details.js";
import { Facts } from "../../../components/facts.js";
import { Loaded } from "../../../components/loaded.js";
import { Page } from "../../../components/page.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { SpecForm } from "../../../components/spec_form.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { bodyOf, startValues } from "../../../lib/form_values.js";
import { VISIT_STATE_WORDS } from "../../../lib/inspection_words.js";
import { formatPounds } from "../../../lib/money.js";
import { formatRecordInstant } from "../../../lib/record_dates.js";
import { NEXT_STEPS, whenWords } from "../../../lib/visit_words.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { useSubmission } from "../../../state/submission.js";
import { VisitTabs } from "./tabs.js";

/** @typedef {import("../../../api/visit_types.d.ts").Visit} Visit */
/** @typedef {import("../../../api/visit_types.d.ts").Electrician} Electrician */
/** @typedef {import("../../../state/resource.js").Resource<Visit>} VisitResource */

const ZONE = "Europe/London";

/** @param {Electrician[]} electricians @param {string | null} chosen @returns {import("../../../lib/form_values.js").FieldSpec[]} */
function termFields(electricians, chosen) {
  const shown = electricians.filter(({ id, unlisted_at: at }) => !at || id === chosen);
  return [
    { name: "electrician_id", label: "Electrician", kind: "select", isNullable: true, options: [{ value: "", label: "Nobody yet" }, ...shown.map(({ id, name, firm }) => ({ value: id, label: firm ? `${name}, ${firm}` : name }))] },
    { name: "agreed_on", label: "Agreed day", kind: "date", isNullable: true },
    { name: "agreed_from", label: "From", kind: "time", isNullable: true },
    { name: "agreed_until", label: "Until", kind: "time", isNullable: true },
    { name: "cost_pounds", label: "Cost", kind: "decimal", unit: "pounds", isNullable: true, hint: "What the firm asks, such as 120 or 89.50." },
  ];
}

/**
 * Pounds as typed, as whole pence; what is no amount stays as it is, so that the service says so.
 * @param {unknown} pounds
 * @returns {number | string | null}
 */
export function penceOf(pounds) {
  if (pounds === null || typeof pounds !== "string") return null;
  const [, whole, part = ""] = /^£?(\d{1,6})(?:\.(\d{1,2}))?$/.exec(pounds.replaceAll(",", "")) ?? [];
  return whole === undefined ? pounds : Number(whole) * 100 + Number(part.padEnd(2, "0"));
}

/** @param {{ visit: VisitResource, electricians: Electrician[] }} props */
function Terms({ visit, electricians }) {
  const data = /** @type {Visit} */ (visit.data);
  const submission = useSubmission({ onStale: visit.reload });
  const fields = termFields(electricians, data.electrician_id);
  const cost = data.cost_pence === null ? "" : (Number(data.cost_pence) / 100).toFixed(2);
  const start = { ...startValues(fields, data), agreed_from: data.agreed_from?.slice(0, 5) ?? "", agreed_until: data.agreed_until?.slice(0, 5) ?? "", cost_pounds: cost, electrician_id: data.electrician_id ?? "" };
  const save = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    const { cost_pounds: pounds, ...rest } = bodyOf(fields, values);
    const { data: changed, etag } = await changeVisit(data.id, { ...rest, cost_pence: penceOf(pounds) }, visit.etag);
    visit.put(changed, etag);
    say("Saved.");
  });
  return html`<section class="card" aria-labelledby="terms-title"><h2 id="terms-title">Who comes, when, at what cost</h2>
    <p class="small">Times are the home's. Naming a day agrees the date.</p>
    <${SpecForm} fields=${fields} start=${start} action="Save" submission=${submission} onSubmit=${save} faultFields=${{ cost_pence: "cost_pounds" }} /></section>`;
}

/** @param {{ visit: VisitResource }} props */
function Moves({ visit }) {
  const data = /** @type {Visit} */ (visit.data);
  const [note, setNote] = useState("");
  const submission = useSubmission();
  const steps = NEXT_STEPS[data.state];
  const take = async (/** @type {typeof steps[number]} */ { state, label, isFinal = false }) => {
    const isSure = !isFinal || (await askConfirm({ title: `${label}?`, text: "It cannot be taken up again; another one can be asked for.", action: label, stay: "Leave it" }));
    if (!isSure) return;
    await submission.run(async (key) => {
      const { data: moved, etag } = await moveVisit(data.id, state, note.trim(), key);
      setNote("");
      say(`${VISIT_STATE_WORDS[state]}.`);
      visit.put(moved, etag);
    });
  };
  if (steps.length === 0) return null;
  return html`<section class="card" aria-labelledby="moves-title"><h2 id="moves-title">What happened</h2>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="form"><div class="field"><label for="step-note">Note, if any</label><input id="step-note" maxlength="300" value=${note} onInput=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => setNote(event.currentTarget.value)} /></div>
      <div class="form-actions">${steps.map((step) => html`<button key=${step.state} type="button" class="button" disabled=${submission.isBusy} onClick=${() => take(step)}>${step.label}</button>`)}</div></div></section>`;
}

/** @param {{ visit: VisitResource, electricians: Electrician[] }} props */
function VisitParts({ visit, electricians }) {
  const data = /** @type {Visit} */ (visit.data);
  const now = Date.now();
  const isOver = ["accepted", "cancelled"].includes(data.state);
  return html`
    <section class="card" aria-labelledby="visit-title"><h2 id="visit-title">${VISIT_STATE_WORDS[data.state]}</h2>
      <${Facts} rows=${[["Home", html`<a href=${`/households/${data.household_id}`}>${data.reference}</a>`], ["Outlets", data.outlets.join(", ")], ["Why", data.reason || "not said"],
        ["Asked for", formatRecordInstant(data.asked_at, ZONE, now)], ["Area", data.area || "not known"], ["When", whenWords(data)], ["Electrician", data.electrician_name || "nobody yet"],
        ["Cost", data.cost_pence === null ? "not known" : formatPounds(String(data.cost_pence))]]} />
      <${Details} summary=${`Risk ${data.risk}: how it is worked out`}>${() => html`<${WorkingSteps} steps=${data.risk_working} />`}</${Details}></section>
    ${!isOver && html`<${Terms} visit=${visit} electricians=${electricians} />`}
    <${Moves} visit=${visit} />
    ${data.steps.length > 0 && html`<section class="card" aria-labelledby="steps-title"><h2 id="steps-title">Steps so far</h2>
      <ol class="runs">${data.steps.map((step) => html`<li key=${step.happened_at + step.state}>${formatRecordInstant(step.happened_at, ZONE, now)}: ${VISIT_STATE_WORDS[step.state].toLowerCase()}${step.by && `, by ${step.by}`}${step.note && ` (${step.note})`}</li>`)}</ol></section>`}
    ${data.state === "date_agreed" && html`<p>Send the electrician a link from <a href="/visits?state=date_agreed">the list of visits</a>, alone or with other homes of the day.</p>`}`;
}

/** @param {{ visitId: string }} props */
export function VisitPage({ visitId }) {
  const visit = useResource((reading) => getVisit(visitId, reading), [visitId]);
  const electricians = useResource((reading) => listElectricians(reading), []);
  return html`<${Page} title=${visit.data ? `Visit to ${visit.data.reference}` : "Visit"} class="page-admin" lead=${html`<a href="/visits">All visits</a>`}>
    <${VisitTabs} />
    <${Loaded} of=${visit} lines=${2}>${() => html`<${Loaded} of=${electricians} lines=${1}>${(/** @type {{ items: Electrician[] }} */ { items }) =>
      html`<${VisitParts} visit=${visit} electricians=${items} />`}</${Loaded}>`}</${Loaded}>
  </${Page}>`;
}
