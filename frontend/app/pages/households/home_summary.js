/** Where a home is, its week in totals, and changing its entries. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { changeHousehold } from "../../api/households.js";
import { getTotals } from "../../api/planning.js";
import { Facts } from "../../components/facts.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { HOME_FIELDS } from "../../lib/home_fields.js";
import { formatPounds } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { formatInstant } from "../../lib/time.js";
import { NATION_WORDS } from "../../lib/wording.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */

/**
 * @param {Household} home
 * @returns {[string, unknown][]}
 */
function placeRows(home) {
  return [
    ["Address", `${home.address}, ${home.postcode}`],
    ["Nation and zone", `${NATION_WORDS[home.nation]}, ${home.zone}`],
    ["Region", home.region ?? "not known"],
    ["Payment", home.payment ?? "not known"],
  ];
}

const WEEK_TERMS = ["Energy, seven days", "Cost by plan", "Charged on arrival", "Shortfall", "Planned"];

/**
 * @param {import("../../api/types.d.ts").WeekTotals | null} totals
 * @param {string} zone
 * @param {boolean} isLoading not known is said only once the totals have been asked for
 * @returns {[string, unknown][]}
 */
function weekRows(totals, zone, isLoading) {
  if (isLoading && !totals) return WEEK_TERMS.map((term) => [term, "…"]);
  const values = [
    formatEnergy(totals?.week_energy_kwh),
    formatPounds(totals?.week_cost_pence),
    formatPounds(totals?.week_on_arrival_cost_pence),
    totals?.week_short_kwh === 0 ? "none" : formatEnergy(totals?.week_short_kwh),
    totals ? formatInstant(totals.planned_at, zone) : "no plan yet",
  ];
  return WEEK_TERMS.map((term, place) => [term, values[place]]);
}

/** @param {{ home: import("../../state/resource.js").Resource<Household> }} props */
export function HomeSummary({ home }) {
  const householdId = home.data?.id ?? "";
  const [isEdited, setEdited] = useState(false);
  const submission = useSubmission({ onStale: home.reload });
  const totals = useResource((reading) => getTotals(householdId, reading), [householdId, home.data]);
  const data = /** @type {Household} */ (home.data);
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    const answer = await changeHousehold(data.id, bodyOf(HOME_FIELDS, values), home.etag);
    home.put(answer.data, answer.etag);
    setEdited(false);
    say("Home saved.");
  });
  if (isEdited) {
    return html`<section class="card" aria-label="Change this home">
      <${SpecForm} fields=${HOME_FIELDS} start=${startValues(HOME_FIELDS, data)} action="Save home" submission=${submission}
        onSubmit=${save} onCancel=${() => setEdited(false)} /></section>`;
  }
  return html`<section class="card" aria-label="This home">
    <div class="grid-two"><${Facts} rows=${placeRows(data)} /><${Facts} rows=${weekRows(totals.data, data.zone, totals.isLoading)} /></div>
    <button type="button" class="button" onClick=${() => setEdited(true)}>Change address and region</button>
  </section>`;
}
