/** One recorded inspection: what it says in short, the document beside everything recorded, and the officer's decision. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { makeCorrectionLink } from "../../../api/visits.js";
import { Facts } from "../../../components/facts.js";
import { SpecForm } from "../../../components/spec_form.js";
import { CERTIFICATE_WORDS, GROUND_WORDS, SOURCE_WORDS } from "../../../lib/inspection_words.js";
import { formatRecordInstant } from "../../../lib/record_dates.js";
import { formatDate } from "../../../lib/time.js";
import { useSubmission } from "../../../state/submission.js";
import { Comparison } from "./comparison.js";
import { LinkMade } from "./link_made.js";

/** @typedef {import("../../../api/visit_types.d.ts").DecidedInspection} DecidedInspection */

const ZONE = "Europe/London";
const WEEK_MS = 8 * 24 * 3_600_000;

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const ADDRESS = [{ name: "sent_to", label: "Send the correction link to", kind: "email", isRequired: true }];

/**
 * What was decided, by whom and why.
 * @param {DecidedInspection} one
 * @param {number} now
 * @returns {string}
 */
export function decisionWords(one, now) {
  const by = (/** @type {string} */ name) => (name ? ` by ${name}` : "");
  if (one.accepted_at) return `accepted on ${formatRecordInstant(one.accepted_at, ZONE, now)}${by(one.accepted_by)}: ${GROUND_WORDS[one.ground ?? ""] ?? "ground not known"}`;
  if (one.refused_at) return `refused on ${formatRecordInstant(one.refused_at, ZONE, now)}${by(one.refused_by)}: ${one.refusal_reason ?? ""}`;
  return "waits for a safety officer";
}

/** @param {DecidedInspection} one @param {number} now @returns {[string, unknown][]} */
function rowsOf(one, now) {
  return [
    ["Recorded as inspected by", [one.electrician || "not known", one.registration || "registration not stated"].join(", ")],
    ["On", `${formatDate(one.inspected_on)}, next due on ${formatDate(one.next_due_on)}`],
    ["Certificate", `${CERTIFICATE_WORDS[one.certificate_kind] ?? one.certificate_kind}, ${one.certificate_number || "number not known"}`],
    ["Asked for by", one.asked_by || "not known"],
    ["Link sent to", `${one.received_by || "no link"}${one.is_household_address ? ": an address of this household, so it never counts" : ""}`],
    ["Recorded", `${formatRecordInstant(one.recorded_at, ZONE, now)}, ${SOURCE_WORDS[one.source] ?? one.source}`],
    ["Decision", decisionWords(one, now)],
  ];
}

/** @param {{ one: DecidedInspection }} props */
function Correction({ one }) {
  const [isOpen, setOpen] = useState(false);
  const [made, setMade] = useState(/** @type {import("../../../api/visit_types.d.ts").InspectionLinkMade | null} */ (null));
  const submission = useSubmission();
  const send = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    setMade((await makeCorrectionLink(one, String(values.sent_to).trim(), key)).data);
    setOpen(false);
  });
  if (made) return html`<${LinkMade} link=${made} onClose=${() => setMade(null)} />`;
  if (!isOpen) return html`<button type="button" class="button" onClick=${() => setOpen(true)}>Ask for a correction<span class="unseen"> of certificate ${one.certificate_number}</span></button>`;
  return html`<div class="inset"><p class="small">Within 7 days of the result. The corrected one takes its place; this one stays in the record.</p>
    <${SpecForm} fields=${ADDRESS} start=${{ sent_to: one.received_by }} action="Send the link" isGuarded=${false} submission=${submission} onSubmit=${send} onCancel=${() => setOpen(false)} /></div>`;
}

/**
 * May a correction still be asked for, as far as the page knows? The service counts the days.
 * @param {DecidedInspection} one
 * @param {number} now
 * @returns {boolean}
 */
export function isCorrectable(one, now) {
  return one.source === "link" && one.superseded_at === null && now - new Date(one.recorded_at).getTime() < WEEK_MS;
}

/** @param {{ inspection: DecidedInspection, isOfficer: boolean, onChange: () => void }} props */
export function InspectionCard({ inspection: one, isOfficer, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const now = Date.now();
  const id = `inspection-${one.id}`;
  return html`<section class="card" aria-labelledby=${id}>
    <div class="card-head"><h2 class="card-title" id=${id}><a href=${`/households/${one.household_id}`}>${one.reference}</a>, ${one.outlet_label}</h2>
      ${one.superseded_at && html`<span class="tag">Corrected by a later one</span>`}</div>
    <${Facts} rows=${rowsOf(one, now)} />
    ${isOpen
      ? html`<${Comparison} one=${one} isOfficer=${isOfficer} onChange=${onChange} />`
      : html`<div class="form-actions"><button type="button" class=${`button ${one.state === "waiting" ? "button-main" : ""}`} onClick=${() => setOpen(true)}>Compare with the document<span class="unseen"> of certificate ${one.certificate_number}</span></button>
          ${isCorrectable(one, now) && html`<${Correction} one=${one} />`}</div>`}
  </section>`;
}
