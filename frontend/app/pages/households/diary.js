/** A car's diary: a week of miles in one form, day by day, from a file, and what the odometer says. */
import { html } from "htm/preact";
import { getHousehold } from "../../api/home.js";
import { getHabits, listDiary } from "../../api/habits.js";
import { getVehicle } from "../../api/households.js";
import { Details } from "../../components/details.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { diaryWords, FEWEST_DAYS, lastDays } from "../../lib/diary.js";
import { daysWords } from "../../lib/habits.js";
import { localDay } from "../../lib/time.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { DiaryDays } from "./diary_days.js";
import { DiaryImportForm } from "./diary_import.js";
import { DiaryLines } from "./diary_lines.js";
import { DiaryOdometer } from "./diary_odometer.js";
import { DiaryWeek } from "./diary_week.js";

/** @typedef {import("../../api/habit_types.d.ts").DiaryDay} DiaryDay */

const WEEK_DAYS = 7;

/**
 * The diary, how many days it is to cover, and which day it is at the home.
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {{ signal: AbortSignal }} reading
 */
async function readDiary(householdId, vehicleId, reading) {
  const [diary, habits, home] = await Promise.all([
    listDiary(householdId, vehicleId, reading), getHabits(householdId, reading), getHousehold(householdId, reading),
  ]);
  const days = daysWords(habits.data.need_quantile_permille);
  return { ...diary, data: { kept: diary.data.items, days, today: localDay(Date.now(), home.data.zone) } };
}

/** @param {{ vehicleId: string }} props */
export function DiaryPage({ vehicleId }) {
  const householdId = ownHouseholdId();
  const vehicle = useResource((reading) => getVehicle(householdId, vehicleId, reading), [vehicleId]);
  const diary = useResource((reading) => readDiary(householdId, vehicleId, reading), [vehicleId]);
  return html`<${Page} title=${vehicle.data ? `Diary of the ${vehicle.data.label}` : "Diary"} class="page-member"
    lead=${html`<a href=${`/cars/${vehicleId}`}>Limits, routine and journeys</a>. The plan is worked out anew after each entry.`}>
    <${Loaded} of=${diary} lines=${4} size="line">${(/** @type {{ kept: DiaryDay[], days: string, today: string }} */ { kept, days, today }) => {
      const shown = lastDays(kept, today);
      return html`
        <p>${diaryWords(kept.length, days)} <a href="/habits">Cover more days, or fewer</a></p>
        <${DiaryWeek} vehicleId=${vehicleId} week=${shown.slice(0, WEEK_DAYS)} onSaved=${diary.reload} />
        ${kept.length >= FEWEST_DAYS && html`<p><a class="button" href="/money/lead">See whether the lead is enough</a></p>`}
        <${DiaryDays} vehicleId=${vehicleId} shown=${shown} onChange=${diary.reload} />
        <${Details} summary="Enter many days at once">${() => html`<${DiaryLines} vehicleId=${vehicleId} today=${today} onSaved=${diary.reload} />`}</${Details}>
        <${Details} summary="From a CSV file">${() => html`<${DiaryImportForm} vehicleId=${vehicleId} onSaved=${diary.reload} />`}</${Details}>
        <${Details} summary="Odometer">${() => html`<${DiaryOdometer} vehicleId=${vehicleId} today=${today} />`}</${Details}>
      `;
    }}</${Loaded}>
  </${Page}>`;
}
