/** Which appliances there are, how often they run, and when somebody is awake at home. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { putAppliances } from "../../../api/appliances.js";
import { Details } from "../../../components/details.js";
import { Field } from "../../../components/field.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { applianceOf, KIND_WORDS, newRow, rowFields, rowOf } from "../../../lib/appliance_words.js";
import { differs } from "../../../lib/form_values.js";
import { fieldFault } from "../../../lib/problem.js";
import { useEntries } from "../../../state/entries.js";
import { say } from "../../../state/notices.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";
import { useUnsavedGuard } from "../../../state/unsaved.js";

/** @typedef {import("../../../api/appliance_types.d.ts").Appliances} Appliances */
/** @typedef {import("../../../api/appliance_types.d.ts").ApplianceKind} ApplianceKind */
/** @typedef {import("../../../api/appliance_types.d.ts").Awake} Awake */
/** @typedef {import("../../../lib/appliance_words.js").Row} Row */
/** @typedef {{ rows: Row[], awake: Awake[] }} Entries */

const OFTEN = ["label", "runs_a_week", "usual_start"];

/** @param {{ row: Row, place: number, faultOf: (field: string) => string, onRow: (row: Row) => void, onRemove: () => void }} props */
function ApplianceRow({ row, place, faultOf, onRow, onRemove }) {
  const fields = rowFields(row.kind);
  const name = row.label || KIND_WORDS[/** @type {ApplianceKind} */ (row.kind)];
  const draw = (/** @type {import("../../../lib/form_values.js").FieldSpec} */ spec) => html`<${Field} key=${spec.name} spec=${spec}
    value=${row[/** @type {keyof Row} */ (spec.name)]} fault=${faultOf(`appliances.${place}.${spec.name}`)}
    onInput=${(/** @type {string} */ value) => onRow({ ...row, [spec.name]: value })} />`;
  const rest = fields.filter((spec) => !OFTEN.includes(spec.name));
  const isOwn = row.kind === "own";
  return html`<fieldset class="appliance-row"><legend>${name}</legend>
    <div class="appliance-fields">${fields.filter((spec) => OFTEN.includes(spec.name) || isOwn).map(draw)}</div>
    ${!isOwn && html`<${Details} summary="Its own figures, if you know them">${() => html`<div class="appliance-fields">${rest.map(draw)}</div>`}</${Details}>`}
    <button type="button" class="button button-quiet" onClick=${onRemove}>Remove<span class="unseen"> ${name}</span></button>
  </fieldset>`;
}

/** @param {{ stated: import("../../../state/resource.js").Resource<Appliances>, data: Appliances, onSaved: () => void }} props */
export function StatedForm({ stated, data, onSaved }) {
  /** @type {Entries} */
  const start = { rows: data.appliances.map(rowOf), awake: data.awake };
  const [entries, setEntries] = useEntries(start);
  const [kind, setKind] = useState(/** @type {ApplianceKind} */ ("dishwasher"));
  const submission = useSubmission({ onStale: stated.reload });
  useUnsavedGuard(!submission.isBusy && differs(entries, start));
  const faultOf = (/** @type {string} */ field) => fieldFault(submission.problem, field);
  const setRow = (/** @type {number} */ place, /** @type {Row} */ row) => setEntries({ ...entries, rows: entries.rows.map((old, at) => (at === place ? row : old)) });
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    submission.run(async () => {
      const { data: kept, etag } = await putAppliances(ownHouseholdId(), { appliances: entries.rows.map(applianceOf), awake: entries.awake }, stated.etag);
      stated.put(kept, etag);
      say("Saved.");
      onSaved();
    });
  };
  const time = (/** @type {"from" | "until"} */ name, /** @type {string} */ label) => html`<${Field} spec=${{ name: `awake_${name}`, label, kind: "time", isRequired: true }}
    value=${entries.awake[0]?.[name] ?? ""} fault=${faultOf(`awake.0.${name}`)}
    onInput=${(/** @type {string} */ value) => setEntries({ ...entries, awake: [{ ...entries.awake[0], [name]: value }, ...entries.awake.slice(1)] })} />`;
  return html`<form class="form" onSubmit=${save}>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <p>Somebody is usually awake at home:</p>
    <div class="appliance-fields">${time("from", "Awake from")}${time("until", "Awake until")}</div>
    ${entries.rows.map((row, place) => html`<${ApplianceRow} key=${place} row=${row} place=${place} faultOf=${faultOf}
      onRow=${(/** @type {Row} */ next) => setRow(place, next)} onRemove=${() => setEntries({ ...entries, rows: entries.rows.filter((_, at) => at !== place) })} />`)}
    <div class="appliance-fields">
      <${Field} spec=${{ name: "kind", label: "Appliance to add", kind: "select", options: Object.entries(KIND_WORDS).map(([value, label]) => ({ value, label })) }} value=${kind} onInput=${setKind} />
      <button type="button" class="button" onClick=${() => setEntries({ ...entries, rows: [...entries.rows, newRow(kind)] })}>Add it</button>
    </div>
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : "Save and work it out"}</button></div>
  </form>`;
}
