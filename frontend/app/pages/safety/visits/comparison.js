/** The document beside everything that was recorded; only here, with both in sight, can it be accepted or refused. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { fileAddress } from "../../../api/files.js";
import { getHousehold } from "../../../api/home.js";
import { acceptInspection, refuseInspection } from "../../../api/visits.js";
import { Facts } from "../../../components/facts.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { SpecForm } from "../../../components/spec_form.js";
import { REACH_WORDS } from "../../../lib/inspection_words.js";
import { recordedRows } from "../../../lib/recorded_answers.js";
import { formatDate } from "../../../lib/time.js";
import { CODE_WORDS, YES_NO_WORDS } from "../../../lib/wording.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { session } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/visit_types.d.ts").DecidedInspection} DecidedInspection */
/** @typedef {import("../../../api/visit_types.d.ts").RecordedInspection} RecordedInspection */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const REASON = [{ name: "reason", label: "Why it is refused", kind: "long", isRequired: true, hint: "It stays with the record." }];

/** @param {{ one: DecidedInspection }} props */
function TheDocument({ one }) {
  const [isPicture, setPicture] = useState(true);
  if (!one.file_id) return html`<p class="note note-warn">No document is attached: without it the inspection never counts.</p>`;
  const address = fileAddress(one.household_id, one.file_id);
  return html`<div class="document"><p><a class="button" href=${address} download data-outside>Save the document<span class="unseen"> of certificate ${one.certificate_number}</span></a></p>
    ${isPicture ? html`<img src=${address} alt=${`Photograph of certificate ${one.certificate_number}`} onError=${() => setPicture(false)} />` : html`<p class="small">It is a PDF: save it, and open it beside this page.</p>`}</div>`;
}

/** @param {RecordedInspection} found @returns {[string, unknown][]} */
function headRows(found) {
  return [
    ["This outlet and its circuit tested", YES_NO_WORDS[found.was_tested]],
    ["Limitation", found.limitation || "none"],
    ["Knew that a car charges here", YES_NO_WORDS[found.knew_use]],
    ["Limit on current", found.limit_a === null ? found.limit_reason || "none of his own" : `${found.limit_a} A: ${found.limit_reason}`],
  ];
}

/** @param {{ title: string, texts: string[] | undefined }} props */
function Texts({ title, texts }) {
  return texts && texts.length > 0 && html`<p class="list-title">${title}</p><ul>${texts.map((text) => html`<li key=${text}>${text}</li>`)}</ul>`;
}

/** @param {{ failures: import("../../../api/visit_types.d.ts").InspectionFailure[] | undefined }} props */
function Failures({ failures }) {
  return failures && failures.length > 0 && html`<p class="list-title">Outside its limit</p><ul>${failures.map(({ field, words, limit, source }) => html`<li key=${field}>
    ${words.charAt(0).toUpperCase()}${words.slice(1)}<span class="cell-note">Limit: ${limit}</span><span class="cell-note">Source: ${source}</span></li>`)}</ul>`;
}

/** @param {{ found: RecordedInspection }} props */
function Recorded({ found }) {
  const observed = found.observations.map(({ code, note, reach, closed_on: closed }) =>
    `${CODE_WORDS[code]}. ${note} (${REACH_WORDS[reach] ?? "reach not known"}; ${closed ? `put right on ${formatDate(closed)}` : "open"})`);
  return html`<${Facts} rows=${[...headRows(found), ...recordedRows(found.answers)]} class="facts-long" />
    <${Texts} title="Observations" texts=${observed} /><${Failures} failures=${found.failures} /><${Texts} title="Not recorded: it stays not known" texts=${found.missing} />`;
}

/** @param {{ one: DecidedInspection, onChange: () => void }} props */
function Decision({ one, onChange }) {
  const [isRefusing, setRefusing] = useState(false);
  const submission = useSubmission();
  const accept = async () => {
    const isSure = await askConfirm({
      title: "Accept this inspection?", text: "You say that the document shows what was recorded: outlet, dates, certificate number and readings. The outlet's standing and the plan follow at once.",
      action: "Accept", stay: "Not yet",
    });
    if (isSure) await submission.run(async (key) => {
      await acceptInspection(one, key);
      say("Accepted. The outlet's standing follows.");
      onChange();
    });
  };
  const refuse = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    await refuseInspection(one, String(values.reason).trim(), key);
    say("Refused. It stays in the record and does not count.");
    onChange();
  });
  if (isRefusing) return html`<div class="inset"><${SpecForm} fields=${REASON} start=${{ reason: "" }} action="Refuse" submission=${submission} onSubmit=${refuse} onCancel=${() => setRefusing(false)} /></div>`;
  return html`<${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="form-actions"><button type="button" class="button button-main" disabled=${submission.isBusy || !one.file_id} onClick=${accept}>Accept</button>
      <button type="button" class="button" onClick=${() => setRefusing(true)}>Refuse</button></div>`;
}

/**
 * Why the one who looks at it may not decide; "" where he may.
 * @param {DecidedInspection} one
 * @param {boolean} isOfficer
 * @param {string | null | undefined} ownHouseholdId
 * @returns {string}
 */
export function whyNotDecide(one, isOfficer, ownHouseholdId) {
  if (!isOfficer) return "Only a safety officer accepts or refuses an inspection.";
  if (ownHouseholdId === one.household_id) return "This is your own home: another safety officer has to decide.";
  return "";
}

/** @param {{ one: DecidedInspection, isOfficer: boolean, onChange: () => void }} props */
export function Comparison({ one, isOfficer, onChange }) {
  const home = useResource((reading) => getHousehold(one.household_id, reading), [one.household_id]);
  const why = whyNotDecide(one, isOfficer, session.value?.household_id);
  return html`<${Loaded} of=${home} lines=${1}>${(/** @type {import("../../../api/types.d.ts").Household} */ { inspections }) => {
    const found = /** @type {RecordedInspection | undefined} */ (/** @type {unknown} */ (inspections.find(({ id }) => id === one.id)));
    return html`<div class="grid-two comparison"><div>${found ? html`<${Recorded} found=${found} />` : html`<p>What was recorded could not be found.</p>`}</div><${TheDocument} one=${one} /></div>
      ${one.state === "waiting" && (why ? html`<p class="note">${why}</p>` : html`<${Decision} one=${one} onChange=${onChange} />`)}`;
  }}</${Loaded}>`;
}
