/** A car's diary: the miles of single days, entered in seconds, and what the plan makes of them. */
import { html } from "htm/preact";
import { getHousehold } from "../../api/home.js";
import { getHabits, listDiary } from "../../api/habits.js";
import { getVehicle } from "../../api/households.js";
import { Details } from "../../components/details.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { diaryWords, lastDays } from "../../lib/diary.js";
import { daysWords } from "../../lib/habits.js";
import { localDay } from "../../lib/time.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { DiaryDays } from "./diary_days.js";
import { DiaryEntry } from "./diary_entry.js";
import { DiaryLines } from "./diary_lines.js";

/** @typedef {import("../../api/habit_types.d.ts").DiaryDay} DiaryDay */

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
        <${DiaryEntry} vehicleId=${vehicleId} offered=${shown.slice(0, 2)} onSaved=${diary.reload} />
        <${DiaryDays} vehicleId=${vehicleId} shown=${shown} onChange=${diary.reload} />
        <${Details} summary="Enter many days at once">${() => html`<${DiaryLines} vehicleId=${vehicleId} today=${today} onSaved=${diary.reload} />`}</${Details}>
      `;
    }}</${Loaded}>
  </${Page}>`;
}
