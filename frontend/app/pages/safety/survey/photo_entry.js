/** Photos or a document beside an answer: sent as soon as they are chosen, kept with the step when it is saved. */
import { html } from "htm/preact";
import { useId, useRef } from "preact/hooks";
import { fileAddress, uploadFile } from "../../../api/files.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { useSubmission } from "../../../state/submission.js";

const ACCEPTED = { photo: "image/jpeg,image/png", consent: "application/pdf,image/jpeg,image/png" };

/**
 * @param {{
 *   householdId: string,
 *   purpose: "photo" | "consent",
 *   label: string,
 *   hint?: string,
 *   ids: string[],
 *   most?: number,
 *   onChange: (ids: string[]) => void,
 *   fault?: string,
 * }} props
 */
export function PhotoEntry({ householdId, purpose, label, hint = "", ids, most = 8, onChange, fault = "" }) {
  const id = useId();
  const submission = useSubmission();
  const input = useRef(/** @type {HTMLInputElement | null} */ (null));
  const choose = (/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
    const file = event.currentTarget.files?.[0];
    if (!file) return;
    submission.run(async (key) => {
      const { data } = await uploadFile(householdId, purpose, file, key);
      onChange([...ids, data.id]);
      if (input.current) input.current.value = "";
    });
  };
  const what = purpose === "photo" ? "Photo" : "Document";
  return html`<div class="photo-entry">
    <p class="photo-title" id=${`${id}-title`}>${label}</p>
    ${hint && html`<p class="hint">${hint}</p>`}
    <${ProblemNote} problem=${submission.problem} />
    ${ids.length > 0 && html`<ul class="photo-list">${ids.map((fileId, place) => html`<li key=${fileId}>
      <a href=${fileAddress(householdId, fileId)} download>${what} ${place + 1}</a>
      <button type="button" class="button button-quiet" onClick=${() => onChange(ids.filter((each) => each !== fileId))}>Leave out<span class="unseen"> ${what.toLowerCase()} ${place + 1} of ${label}</span></button>
    </li>`)}</ul>`}
    ${ids.length < most && html`<label class="button" for=${id}>${submission.isBusy ? "Sending…" : `Add a ${what.toLowerCase()}`}<span class="unseen"> of ${label}</span></label>
      <input ref=${input} class="unseen" id=${id} type="file" accept=${ACCEPTED[purpose]} disabled=${submission.isBusy} onChange=${choose} />`}
    <p class="small" role="status">${submission.isBusy ? "Sending…" : ids.length > 0 ? "Sent. It is kept with this step when you save." : ""}</p>
    ${fault && html`<p class="fault">${fault}</p>`}
  </div>`;
}
