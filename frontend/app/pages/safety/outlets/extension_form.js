/** Record an extension lead in use, as far as it is known; where one is recorded already, say more of it. */
import { html } from "htm/preact";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { Field } from "../../../components/field.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { EXTENSION_CHOICES, EXTENSION_ENTRIES, extensionEntry, extensionStart } from "../../../lib/extension_fields.js";
import { differs } from "../../../lib/form_values.js";
import { fieldFault } from "../../../lib/problem.js";
import { useEntries } from "../../../state/entries.js";
import { useUnsavedGuard } from "../../../state/unsaved.js";

/** @typedef {import("../../../api/extension_types.d.ts").ExtensionEntry} ExtensionEntry */

/**
 * @param {{
 *   outlets: { id: string, label: string, kind: string }[],
 *   of: ExtensionEntry | null,
 *   submission: import("../../../state/submission.js").Submission,
 *   onSave: (entry: ExtensionEntry) => unknown,
 *   onCancel: () => void,
 * }} props of: the use that is described further
 */
export function ExtensionForm({ outlets, of, submission, onSave, onCancel }) {
  const sockets = outlets.filter(({ kind }) => kind === "socket_13a");
  const offered = sockets.length > 0 ? sockets : outlets;
  /** @type {Record<string, string>} */
  const start = { ...extensionStart(of), outlet_id: of?.outlet_id ?? offered[0]?.id ?? "" };
  const [values, setValues] = useEntries(start);
  useUnsavedGuard(!submission.isBusy && differs(values, start));
  const put = (/** @type {string} */ name) => (/** @type {string} */ value) => setValues((old) => ({ ...old, [name]: value }));
  const fields = [...EXTENSION_CHOICES, ...EXTENSION_ENTRIES];
  const labelOf = (/** @type {string} */ name) => fields.find((spec) => spec.name === name)?.label ?? "";
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    onSave(extensionEntry(values));
  };
  const faultOf = (/** @type {string} */ name) => fieldFault(submission.problem, name);
  return html`<form class="form inset" onSubmit=${save} noValidate>
    <h3>${of ? "Which extension lead is it?" : "An extension lead that is used"}</h3>
    <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${labelOf} />
    ${!of && offered.length > 1 && html`<${ChoiceGroup} spec=${{ name: "outlet_id", label: "Where is it plugged in?", kind: "select", options: offered.map(({ id, label }) => ({ value: id, label })) }}
      value=${values.outlet_id} onInput=${put("outlet_id")} fault=${faultOf("outlet_id")} />`}
    ${EXTENSION_CHOICES.map((spec) => html`<${ChoiceGroup} key=${spec.name} spec=${spec} value=${values[spec.name]} onInput=${put(spec.name)} fault=${faultOf(spec.name)} />`)}
    <div class="form-fields">${EXTENSION_ENTRIES.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${values[spec.name]} onInput=${put(spec.name)} fault=${faultOf(spec.name)} />`)}</div>
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : "Record it"}</button>
      <button type="button" class="button" onClick=${onCancel}>Cancel</button></div>
  </form>`;
}
