/** Charges from a table (CSV) or from a charging point's own account (OCPI): read first, then kept, all or none. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";
import { importCdrs, importCsv } from "../../../api/charging.js";
import { Field } from "../../../components/field.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { Problem } from "../../../lib/problem.js";
import { counted, formatEnergy } from "../../../lib/quantity.js";
import { formatInstant } from "../../../lib/time.js";
import { say } from "../../../state/notices.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/charging_types.d.ts").ChargingImport} ChargingImport */
/** @typedef {import("../../../lib/charged_words.js").Named} Named */
/** @typedef {{ vehicle_id: string, outlet_id: string }} Told */

/**
 * Charge detail records out of a file: a list of them, or an answer that holds them as "data".
 * @param {string} text
 * @returns {object[]}
 */
export function cdrsOf(text) {
  try {
    const read = JSON.parse(text);
    const list = Array.isArray(read) ? read : read?.data;
    if (Array.isArray(list)) return list;
  } catch {
    // Said below.
  }
  throw new Problem({ status: 422, errors: [{ pointer: "#/file", detail: "this is not a JSON list of charge detail records" }] });
}

/** @param {{ found: ChargingImport, zone: string }} props */
function Found({ found, zone }) {
  const skipped = found.skipped_count > 0 ? ` Already here, and so skipped: ${counted(found.skipped_count, "charge")}.` : "";
  return html`<div class="note" role="status">
    <p class="note-title">${counted(found.added_count, "charge")}, ${formatEnergy(found.added_kwh)}${found.first_at ? `, from ${formatInstant(found.first_at, zone)} to ${formatInstant(found.last_at, zone)}` : ""}</p>
    <p>Nothing is kept yet.${skipped}</p></div>`;
}

/** What a charge detail record does not say. @param {{ cars: Named[], outlets: Named[], told: Told, onTell: (next: Told) => void }} props */
function OcpiFields({ cars, outlets, told, onTell }) {
  const select = (/** @type {"vehicle_id" | "outlet_id"} */ name, /** @type {string} */ label, /** @type {Named[]} */ of) => of.length > 1 && html`<${Field}
    spec=${{ name, label, kind: "select", options: of.map(({ id: value, label: words }) => ({ value, label: words })) }} value=${told[name]}
    onInput=${(/** @type {string} */ value) => onTell({ ...told, [name]: value })} />`;
  return html`${select("vehicle_id", "The car they charged", cars)}${select("outlet_id", "The outlet of those at home", outlets)}`;
}

/** @param {{ cars: Named[], outlets: Named[], zone: string, onKept: () => void }} props */
export function ImportBox({ cars, outlets, zone, onKept }) {
  const id = useId();
  const submission = useSubmission();
  const [file, setFile] = useState(/** @type {File | null} */ (null));
  const [told, setTold] = useState({ vehicle_id: cars[0]?.id ?? "", outlet_id: outlets[0]?.id ?? "" });
  const [found, setFound] = useState(/** @type {ChargingImport | null} */ (null));
  const isOcpi = file !== null && /\.json$/i.test(file.name);
  const start = () => {
    setFound(null);
    submission.clear();
  };
  const send = (/** @type {boolean} */ isDryRun) => submission.run(async (key) => {
    const text = await /** @type {File} */ (file).text();
    const { data } = isOcpi
      ? await importCdrs(ownHouseholdId(), { vehicle_id: told.vehicle_id, outlet_id: told.outlet_id || null, cdrs: cdrsOf(text), is_dry_run: isDryRun }, key)
      : await importCsv(ownHouseholdId(), { csv: text, is_dry_run: isDryRun }, key);
    if (isDryRun) {
      setFound(data);
      return;
    }
    setFound(null);
    say(`${counted(data.added_count, "charge")} kept${data.skipped_count > 0 ? `, ${data.skipped_count} skipped` : ""}.`);
    onKept();
  });
  return html`<form class="form" onSubmit=${(/** @type {Event} */ event) => {
    event.preventDefault();
    send(found === null);
  }}>
    <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${() => ""} />
    <div class="field"><label for=${id}>File</label>
      <p class="hint" id=${`${id}-hint`}>A table (.csv) whose first line names starts_at, ends_at, energy_kwh, place (home, public or work) and, if wanted, vehicle, outlet,
        is_metered, paid_pence, external_id, note. Times such as 2026-11-24 22:30 are read on the clock at home. Or charge detail records of OCPI 2.2.1 (.json).
        A charge with an external_id that stands here already is skipped.</p>
      <input id=${id} type="file" accept=".csv,text/csv,.json,application/json" required aria-describedby=${`${id}-hint`}
        onChange=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
          setFile(event.currentTarget.files?.[0] ?? null);
          start();
        }} /></div>
    ${isOcpi && html`<${OcpiFields} cars=${cars} outlets=${outlets} told=${told} onTell=${(/** @type {Told} */ next) => {
      setTold(next);
      start();
    }} />`}
    ${found && html`<${Found} found=${found} zone=${zone} />`}
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy || file === null || found?.added_count === 0}>
      ${submission.isBusy ? "Reading…" : found ? `Keep ${counted(found.added_count, "charge")}` : "Read the file"}</button></div>
  </form>`;
}
