/** Worth knowing: what small changes to the home would be worth a year, each with its working. */
import { html } from "htm/preact";
import { getWorth } from "../../../api/what_ifs.js";
import { Details } from "../../../components/details.js";
import { Loaded } from "../../../components/loaded.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { worthWords, yearWords } from "../../../lib/what_if_words.js";
import { useResource } from "../../../state/resource.js";
import { ownHouseholdId } from "../../../state/session.js";

/** @typedef {import("../../../api/what_if_types.d.ts").WorthItem} WorthItem */

/** Asked of the service each time it is drawn. */
export function WorthList() {
  const householdId = ownHouseholdId();
  const worth = useResource((reading) => getWorth(householdId, reading), [householdId]);
  return html`<section aria-labelledby="worth">
    <h2 id="worth">Worth knowing</h2>
    <${Loaded} of=${worth} lines=${2} size="line">${(/** @type {{ as_if: string, items: WorthItem[] }} */ { as_if: asIf, items }) =>
      items.length === 0
        ? html`<p>Nothing to say: no car here may charge at an outlet of the home so far.</p>`
        : html`<p>What one change alone would do in a year, ${asIf}. What it would cost to make is not in it.</p>
          <ul class="row-list">${items.map((item) => html`<li key=${worthWords(item)} class="worth-item">
            <p>${worthWords(item)}: <strong>${yearWords(item)}</strong></p>
            <${Details} summary=${html`How this comes about<span class="unseen">: ${worthWords(item)}</span>`}>${() => html`<${WorkingSteps} steps=${item.working} />`}</${Details}>
          </li>`)}</ul>`}</${Loaded}>
  </section>`;
}
