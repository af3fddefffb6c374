/** What a sheet's bands make of a day: chosen by kind of day and month, as a picture and as words. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { DayChart } from "../../charts/day_chart.js";
import { partWords } from "../../charts/day_layout.js";
import { Field } from "../../components/field.js";
import { coverage, coverageRuns } from "../../lib/rate_bands.js";
import { DAY_KIND_WORDS, MONTHS, choices } from "../../lib/wording.js";

/** @typedef {import("../../api/types.d.ts").DayKind} DayKind */

const KIND = { name: "picture_day", label: "Kind of day", kind: /** @type {const} */ ("select"), options: choices(DAY_KIND_WORDS) };
const MONTH = {
  name: "picture_month", label: "Month", kind: /** @type {const} */ ("select"),
  options: MONTHS.map((label, place) => ({ value: String(place + 1), label })),
};

/** @param {{ sheet: import("../../api/types.d.ts").Sheet }} props */
export function DayPicture({ sheet }) {
  const [dayKind, setDayKind] = useState(/** @type {DayKind} */ ("weekday"));
  const [month, setMonth] = useState("1");
  const runs = coverageRuns(coverage(sheet.bands, dayKind, Number(month)));
  return html`<figure class="day-picture">
    <figcaption>What these bands make of a day</figcaption>
    <div class="filters">
      <${Field} spec=${KIND} value=${dayKind} onInput=${setDayKind} />
      <${Field} spec=${MONTH} value=${month} onInput=${setMonth} />
    </div>
    <${DayChart} bands=${sheet.bands} dayKind=${dayKind} month=${Number(month)} label="Price over the day; the list below says the same" />
    <ul class="small day-words">${runs.map((run) => html`<li key=${run.first}>${partWords(sheet.bands, run)}</li>`)}</ul>
  </figure>`;
}
