/** The safety of one home in short, for those who run the scheme: its worst standing, the next date, what is missing. */
import { html } from "htm/preact";
import { ClearanceTag } from "../../components/clearance_tag.js";
import { Facts } from "../../components/facts.js";
import { daysWords } from "../../lib/desk_query.js";
import { datesInWords, formatShortDate } from "../../lib/record_dates.js";
import { localDay, ms } from "../../lib/time.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").ClearanceWord} ClearanceWord */

/** @type {ClearanceWord[]} */
const WORST_FIRST = ["do_not_use", "not_known", "use_with_limits", "fit_to_use"];
const DAY_MS = 86_400_000;

/**
 * The worst of the outlets' standings; a home without an outlet is not known.
 * @param {{ clearance: ClearanceWord }[]} clearances
 * @returns {ClearanceWord}
 */
export function worstOf(clearances) {
  return WORST_FIRST.find((word) => clearances.some(({ clearance }) => clearance === word)) ?? "not_known";
}

/** @param {{ home: Household }} props */
export function SafetyBox({ home }) {
  const next = home.rechecks.filter(({ done_on: done }) => !done).map(({ due_on: due }) => due).sort()[0];
  const today = localDay(Date.now(), home.zone);
  const days = next ? Math.round((ms(`${next}T00:00Z`) - ms(`${today}T00:00Z`)) / DAY_MS) : 0;
  const missing = home.clearances.flatMap(({ outlet_label: label, missing: lacks }) => lacks.map((one) => `${label}: ${datesInWords(one)}`));
  return html`<div class="card safety-box">
    <${Facts} rows=${[
      ["Worst outlet", html`<${ClearanceTag} clearance=${worstOf(home.clearances)} />`],
      ["Next recheck", next ? `${formatShortDate(next)}, ${daysWords(days)}` : "none set"],
      ["Missing", missing.length === 0 ? "Nothing" : html`<ul>${missing.map((one) => html`<li key=${one}>${one}</li>`)}</ul>`],
    ]} />
    <p><a class="button" href=${`/households/${home.id}/safety`}>Open the safety file</a></p>
  </div>`;
}
