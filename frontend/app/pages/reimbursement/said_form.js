/** A box for a text that goes to somebody: a question, an answer, a reason. */
import { html } from "htm/preact";
import { SpecForm } from "../../components/spec_form.js";
import { useSubmission } from "../../state/submission.js";

/**
 * @param {{ name?: string, label: string, hint?: string, action: string, send: (text: string, key: string) => Promise<void>, onCancel?: () => void }} props
 */
export function SaidForm({ name = "text", label, hint, action, send, onCancel }) {
  const submission = useSubmission();
  /** @type {import("../../lib/form_values.js").FieldSpec[]} */
  const fields = [{ name, label, hint, kind: "long", isRequired: true }];
  return html`<div class="inset"><${SpecForm} fields=${fields} start=${{ [name]: "" }} action=${action} submission=${submission} onCancel=${onCancel}
    onSubmit=${(/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run((key) => send(String(values[name]).trim(), key))} /></div>`;
}
