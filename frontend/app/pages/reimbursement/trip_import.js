/** Trips from a table: read first without storing, every fault named by line and column, then stored as a whole. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { importTrips } from "../../api/trips.js";
import { Field } from "../../components/field.js";
import { ProblemNote } from "../../components/problem_note.js";
import { claimMiles } from "../../lib/claim_words.js";
import { counted } from "../../lib/quantity.js";
import { formatShortDate } from "../../lib/record_dates.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { useUnsavedGuard } from "../../state/unsaved.js";

/** @typedef {import("../../api/claim_types.d.ts").TripImport} TripImport */

const HEADER = "date,car,from,to,reason,miles";
const FAULTS_SHOWN = 20;

/** @param {{ read: TripImport }} props */
function Faults({ read }) {
  const rest = read.errors.length - FAULTS_SHOWN;
  return html`<div class="note note-stop" role="alert"><p class="note-title">Nothing was brought in: ${counted(read.errors.length, "fault")}</p>
    <ul>${read.errors.slice(0, FAULTS_SHOWN).map(({ line, column, value, rule }, place) => html`<li key=${place}><strong>Line ${line}${column && `, ${column}`}</strong>: ${value && `“${value}” `}${rule}</li>`)}</ul>
    ${rest > 0 && html`<p>and ${rest} more.</p>`}
    <p>Put them right in the list and read it again.</p></div>`;
}

/** @param {{ read: TripImport }} props */
function Found({ read }) {
  return html`<div class="note"><p class="note-title">${counted(read.row_count, "trip")} read, ${claimMiles(read.miles)}</p>
    <ul>${read.items.slice(0, FAULTS_SHOWN).map((trip) => html`<li key=${trip.line}>${formatShortDate(trip.on_date)}: ${trip.origin} to ${trip.destination}, ${claimMiles(trip.miles)}, ${trip.vehicle_label}</li>`)}</ul>
    ${read.items.length > FAULTS_SHOWN && html`<p>and ${read.items.length - FAULTS_SHOWN} more.</p>`}</div>`;
}

/** @param {{ car: string, today: string, onSaved: () => void }} props car: the label of one, for the example */
export function TripImportForm({ car, today, onSaved }) {
  const [text, setText] = useState("");
  const [read, setRead] = useState(/** @type {TripImport | null} */ (null));
  const submission = useSubmission();
  useUnsavedGuard(text.trim() !== "" && !submission.isBusy);
  const enter = (/** @type {string} */ next) => {
    setText(next);
    setRead(null);
  };
  const choose = async (/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
    const file = event.currentTarget.files?.[0];
    if (file) enter(await file.text());
  };
  const isGood = read !== null && read.errors.length === 0;
  const send = (/** @type {Event} */ event) => {
    event.preventDefault();
    submission.run(async (key) => {
      const { data } = await importTrips(ownHouseholdId(), text, !isGood, key);
      setRead(data);
      if (!data.is_stored) return;
      enter("");
      say(`${counted(data.row_count, "trip")} added.`);
      onSaved();
    });
  };
  const spec = /** @type {const} */ ({ name: "lines", label: "The list", kind: "long", hint: `First line ${HEADER}; then one trip a line, such as ${today},${car},Home,Depot,Stock check,46.5` });
  return html`<form class="form" onSubmit=${send}>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <label class="file-entry"><span>A CSV file</span> <input type="file" accept=".csv,text/csv,text/plain" onChange=${choose} /></label>
    <${Field} spec=${spec} value=${text} onInput=${enter} />
    ${read && (isGood ? html`<${Found} read=${read} />` : html`<${Faults} read=${read} />`)}
    <div class="form-actions"><button class=${isGood ? "button button-main" : "button"} disabled=${submission.isBusy || text.trim() === ""}>${
      submission.isBusy ? "Reading…" : isGood ? `Add ${counted(read.row_count, "trip")}` : "Read the list"}</button></div>
  </form>`;
}
