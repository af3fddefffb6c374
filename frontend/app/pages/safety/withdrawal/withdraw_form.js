/** A safety officer takes a mistaken entry back: a photo of what was taken for the sign, the reason, one question. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";
import { withdrawReport } from "../../../api/checks.js";
import { uploadFile } from "../../../api/files.js";
import { Field } from "../../../components/field.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { fieldFault } from "../../../lib/problem.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useSubmission } from "../../../state/submission.js";
import { useUnsavedGuard } from "../../../state/unsaved.js";

/** @type {import("../../../lib/form_values.js").FieldSpec} */
const REASON = { name: "reason", label: "Why it was a mistake", kind: "long", isRequired: true, hint: "The members of the home read it. It stays with the report." };

/** @type {Record<string, string>} */
const LABELS = { reason: "Why it was a mistake", file_id: "Photo" };

/**
 * @param {{
 *   report: import("../../../api/check_types.d.ts").SafetyReport,
 *   home: import("../../../api/types.d.ts").Household,
 *   onDone: () => void,
 *   onCancel: () => void,
 * }} props
 */
export function WithdrawForm({ report, home, onDone, onCancel }) {
  const id = useId();
  const [reason, setReason] = useState("");
  const [photo, setPhoto] = useState(/** @type {File | null} */ (null));
  const submission = useSubmission();
  useUnsavedGuard(!submission.isBusy && (reason !== "" || photo !== null));
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!photo) return;
    const isRight = await askConfirm({
      title: "Is that right?",
      text: `“${report.words}” was a mistake and is withdrawn. Report, photo and reason stay in the record. Whatever else stands goes on stopping charging.`,
      action: "Yes, withdraw it", stay: "No, go back",
    });
    if (!isRight) return;
    await submission.run(async (key) => {
      const stored = await uploadFile(home.id, "photo", photo, `${key}-file`);
      await withdrawReport(home.id, report.id, { reason: reason.trim(), file_id: stored.data.id }, key);
      say("Withdrawn. Report, photo and reason are kept.");
      onDone();
    });
  };
  return html`<form class="form inset" onSubmit=${send} aria-label=${`Withdraw: ${report.words}`}>
    <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${(/** @type {string} */ field) => LABELS[field] ?? ""} />
    <div class="field"><label for=${id}>Photo of what was taken for the sign</label>
      <p class="hint" id=${`${id}-hint`}>JPEG or PNG. Where it was taken is not kept.</p>
      <input id=${id} type="file" accept="image/jpeg,image/png" aria-describedby=${`${id}-hint`} required
        onChange=${(/** @type {any} */ event) => setPhoto(event.currentTarget.files[0] ?? null)} /></div>
    <${Field} spec=${REASON} value=${reason} onInput=${setReason} fault=${fieldFault(submission.problem, "reason")} />
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : "Withdraw it"}</button>
      <button type="button" class="button" onClick=${onCancel}>Cancel</button></div>
  </form>`;
}
