/** The dialog that asks before something is lost or cannot be taken back. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { question } from "../state/confirm.js";

/** The one dialog of the application; shows the question that is being asked, if any. */
export function ConfirmDialog() {
  const dialog = useRef(/** @type {HTMLDialogElement | null} */ (null));
  const asked = question.value;
  useEffect(() => {
    if (asked && !dialog.current?.open) dialog.current?.showModal();
    if (!asked && dialog.current?.open) dialog.current.close();
  }, [asked]);
  return html`
    <dialog ref=${dialog} aria-labelledby="question-title" onCancel=${() => asked?.answer(false)}>
      ${asked &&
      html`<h2 id="question-title">${asked.title}</h2>
        <p>${asked.text}</p>
        <div class="form-actions">
          <button type="button" class="button button-main" onClick=${() => asked.answer(true)}>${asked.action}</button>
          <button type="button" class="button" onClick=${() => asked.answer(false)}>${asked.stay ?? "Cancel"}</button>
        </div>`}
    </dialog>
  `;
}
