/** All entries of a tariff version: from when, VAT, and one or more sheets of prices. */
import { html } from "htm/preact";
import { useEffect } from "preact/hooks";
import { Field } from "../../components/field.js";
import { ProblemNote } from "../../components/problem_note.js";
import { differs } from "../../lib/form_values.js";
import { fieldFault } from "../../lib/problem.js";
import { newSheet } from "../../lib/rate_bands.js";
import { appendIn, removeIn, setIn } from "../../lib/set_in.js";
import { useEntries } from "../../state/entries.js";
import { useUnsavedGuard } from "../../state/unsaved.js";
import { SheetEditor } from "./sheet_editor.js";

/** @typedef {import("../../api/types.d.ts").VersionEntry} VersionEntry */
/** @typedef {import("../../api/types.d.ts").Tariff} Tariff */

/**
 * How the parts of the editor change and judge the whole entry.
 * @typedef {object} Editing
 * @property {(path: string, value: unknown) => void} set
 * @property {(path: string, item: unknown) => void} append
 * @property {(path: string) => void} remove
 * @property {(path: string) => string} faultOf
 */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "label", label: "Name of this version", kind: "text", isRequired: true, hint: "Such as Winter prices." },
  { name: "valid_from_on", label: "Valid from", kind: "date", isRequired: true },
  { name: "vat_percent", label: "VAT", kind: "decimal", unit: "%", isRequired: true },
  { name: "vat_included", label: "The prices entered include VAT", kind: "tick" },
];

/**
 * @param {{
 *   start: VersionEntry, tariff: Tariff, action: string, isNew?: boolean,
 *   submission: import("../../state/submission.js").Submission,
 *   onSave: (entry: VersionEntry) => unknown,
 *   onDirty?: (isDirty: boolean) => void,
 * }} props
 */
export function VersionEditor({ start, tariff, action, isNew = false, submission, onSave, onDirty }) {
  const [entry, setEntry] = useEntries(start);
  const isDirty = differs(entry, start);
  useUnsavedGuard(isDirty && !submission.isBusy);
  useEffect(() => onDirty?.(isDirty), [isDirty]);
  /** @type {Editing} */
  const editing = {
    set: (path, value) => setEntry((old) => setIn(old, path, value)),
    append: (path, item) => setEntry((old) => appendIn(old, path, item)),
    remove: (path) => setEntry((old) => removeIn(old, path)),
    faultOf: (path) => fieldFault(submission.problem, path),
  };
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    onSave(entry);
  };
  const values = /** @type {Record<string, any>} */ (/** @type {unknown} */ (entry));
  return html`<form class="form version-editor" onSubmit=${submit}>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="card"><div class="form-fields">${FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${values[spec.name]}
      fault=${editing.faultOf(spec.name)} onInput=${(/** @type {unknown} */ value) => editing.set(spec.name, value)} />`)}</div></div>
    ${entry.sheets.map((sheet, place) => html`<${SheetEditor} key=${place} sheet=${sheet} place=${place} tariff=${tariff} editing=${editing} canRemove=${entry.sheets.length > 1} />`)}
    ${editing.faultOf("sheets") && html`<p class="fault">${editing.faultOf("sheets")}</p>`}
    <div class="form-actions">
      <button class="button button-main" disabled=${submission.isBusy || (!isNew && !isDirty)}>${submission.isBusy ? "Saving…" : action}</button>
      <button type="button" class="button" onClick=${() => editing.append("sheets", newSheet(tariff.kind))}>Add a sheet for another region or payment method</button>
    </div>
  </form>`;
}
