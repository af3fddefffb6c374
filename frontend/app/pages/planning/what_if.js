/** What if: the coming week as it is and as it would be, kept comparisons, and what small changes would be worth. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getHouseholdBriefly } from "../../api/home.js";
import { getRoutine } from "../../api/households.js";
import { listTariffChoices, listWhatIfs } from "../../api/what_ifs.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { Comparison } from "./what_if/comparison.js";
import { KeptList } from "./what_if/kept_list.js";
import { QuestionForm } from "./what_if/question_form.js";
import { WorthList } from "./what_if/worth_list.js";

/** @typedef {import("../../api/what_if_types.d.ts").WhatIf} WhatIf */
/** @typedef {import("../../lib/what_if_questions.js").Known} Known */

/**
 * The home, its cars' routines and the tariffs to choose from.
 * @param {string} householdId
 * @param {{ signal: AbortSignal }} reading
 * @returns {Promise<import("../../api/types.d.ts").Answer<Known>>}
 */
async function readKnown(householdId, reading) {
  const [home, tariffs] = await Promise.all([getHouseholdBriefly(householdId, reading), listTariffChoices(householdId, reading)]);
  const routines = await Promise.all(home.data.vehicles.map(async ({ id }) => {
    const { data } = await getRoutine(householdId, id, reading);
    return [id, data.departures];
  }));
  return { ...home, data: { home: home.data, tariffs: tariffs.data.items, routines: Object.fromEntries(routines) } };
}

/** What if. */
export function WhatIfPage() {
  const householdId = ownHouseholdId();
  const known = useResource((reading) => readKnown(householdId, reading), [householdId]);
  const kept = useResource((reading) => listWhatIfs(householdId, reading), [householdId]);
  const [shown, setShown] = useState(/** @type {WhatIf | null} */ (null));
  const show = (/** @type {WhatIf | null} */ whatIf) => {
    setShown(whatIf);
    kept.reload();
  };
  const zone = known.data?.home.zone ?? "Europe/London";
  return html`<${Page} title="What if" class="page-member page-what-if" lead="Nothing here changes your plan. The coming seven days are planned twice: as they are, and as they would be.">
    <${Loaded} of=${known} lines=${3} size="line">${(/** @type {Known} */ data) => html`<${QuestionForm} known=${data} onCompared=${show} />`}</${Loaded}>
    ${shown && html`<${Comparison} key=${shown.id} whatIf=${shown} zone=${zone} onChange=${show} />`}
    <${KeptList} kept=${kept} zone=${zone} shownId=${shown?.id ?? null} onShow=${setShown} onDeleted=${(/** @type {string} */ id) => show(id === shown?.id ? null : shown)} />
    <${WorthList} />
  </${Page}>`;
}
