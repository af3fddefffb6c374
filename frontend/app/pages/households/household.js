/** One home for an administrator: its standing and totals, and everything recorded about it; never when its cars leave. */
import { html } from "htm/preact";
import { getHousehold } from "../../api/home.js";
import { Details } from "../../components/details.js";
import { Later } from "../../components/later.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { HomeVisits } from "../safety/ask_visit.js";
import { ClearanceCard } from "../safety/clearance_card.js";
import { Inspections } from "../safety/inspections.js";
import { Rechecks } from "../safety/rechecks.js";
import { SafetyBox } from "../safety/safety_box.js";
import { SurveySummary } from "../safety/survey_summary.js";
import { HomeCars } from "./home_cars.js";
import { HomeContracts } from "./home_contracts.js";
import { HomeSummary } from "./home_summary.js";
import { HomeWiring } from "./home_wiring.js";
import { SharedWhatIfs } from "./shared_what_ifs.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */

/** @typedef {import("../../state/resource.js").Resource<Household>} HomeResource */

const loadHabits = () => import("./habits_form.js").then((part) => part.HabitsForm);

const SECTIONS = [
  ["standing", "Standing"],
  ["visits", "Visits"],
  ["inspections", "Inspections"],
  ["rechecks", "Rechecks"],
  ["contracts", "Tariff"],
  ["compared", "Compared"],
  ["cars", "Cars"],
  ["wiring", "Supply and outlets"],
  ["survey", "Home survey"],
  ["evenings", "Evenings at home"],
];

/** @param {{ home: HomeResource }} props */
function HomeSections({ home }) {
  const data = /** @type {Household} */ (home.data);
  return html`
    <nav class="in-page" aria-label="On this page"><ul>${SECTIONS.map(([id, name]) => html`<li key=${id}><a href=${`#${id}`}>${name}</a></li>`)}</ul></nav>
    <${HomeSummary} home=${home} />
    <section id="standing" aria-labelledby="standing-title">
      <h2 id="standing-title">Standing of the outlets</h2>
      <${SafetyBox} home=${data} />
      ${data.clearances.length === 0 && html`<p>No outlet is recorded, so nothing can be planned.</p>`}
      <div class="grid-two">${data.clearances.map((clearance) =>
        html`<${ClearanceCard} key=${clearance.outlet_id} clearance=${clearance} zone=${data.zone} level=${3} />`)}</div>
    </section>
    <${HomeVisits} home=${data} isAdministrator=${true} />
    <${Inspections} home=${data} onChange=${home.reload} />
    <${Rechecks} home=${data} onChange=${home.reload} />
    <${HomeContracts} home=${data} onChange=${home.reload} />
    <${SharedWhatIfs} householdId=${data.id} zone=${data.zone} />
    <${HomeCars} home=${data} onChange=${home.reload} />
    <${HomeWiring} home=${data} onChange=${home.reload} />
    <${SurveySummary} home=${data} />
    <section id="evenings" class="card" aria-labelledby="evenings-title">
      <h2 id="evenings-title">Evenings at home</h2>
      <p>What the plan may ask of this home. When its cars leave, and whose turn it is, is for the people there alone.</p>
      <${Details} summary="Swaps, quiet hours, how sure the plan is to be">${() => html`<${Later} load=${loadHabits} props=${{ householdId: data.id }} />`}</${Details}>
    </section>
  `;
}

/** @param {{ householdId: string }} props */
export function HouseholdPage({ householdId }) {
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  const title = home.data ? `${home.data.reference}, ${home.data.member_name}` : "Household";
  return html`<${Page} title=${title} class="page-admin" lead=${html`<a href="/households">All homes</a>`}>
    <${Loaded} of=${home} lines=${4} size="card">${() => html`<${HomeSections} home=${home} />`}</${Loaded}>
  </${Page}>`;
}
