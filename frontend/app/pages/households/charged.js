/** What was charged: entered in seconds or read from a file, day by day beside the plan and what it had to cost. */
import { html } from "htm/preact";
import { useMemo, useState } from "preact/hooks";
import { addCharging, getCharged } from "../../api/charging.js";
import { getHouseholdBriefly } from "../../api/home.js";
import { Details } from "../../components/details.js";
import { Empty } from "../../components/empty.js";
import { Facts } from "../../components/facts.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { headline, totalRows } from "../../lib/charged_words.js";
import { addDays, localDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { ChargeForm } from "./charged/charge_form.js";
import { DayBars } from "./charged/day_bars.js";
import { ImportBox } from "./charged/import_box.js";
import { ProfileLinks } from "./charged/profile_links.js";
import { RecordsList } from "./charged/records_list.js";

/** @typedef {import("../../api/charging_types.d.ts").Charged} Charged */
/** @typedef {import("../../api/types.d.ts").Household} Household */

/** @type {import("../../lib/form_values.js").FieldSpec} */
const PERIOD = {
  name: "period", label: "Days shown", kind: "select",
  options: [{ value: "14", label: "the last two weeks" }, { value: "28", label: "the last four weeks" }, { value: "91", label: "the last 13 weeks" }],
};

/** @param {{ charged: Charged }} props */
function Answer({ charged }) {
  const rows = totalRows(charged.totals);
  return html`
    <section class="card" aria-labelledby="charged-sum"><h2 id="charged-sum">${headline(charged.totals)}</h2>
      ${rows.length > 0 && html`<${Facts} rows=${rows} />`}
      ${charged.notes.length > 0 && html`<ul class="small">${charged.notes.map((note) => html`<li key=${note}>${note}</li>`)}</ul>`}
      <${Details} summary="How these figures come about">${() => html`<${WorkingSteps} steps=${charged.working} />`}</${Details}>
    </section>
    <${DayBars} days=${charged.days} />`;
}

/** @param {{ home: Household }} props */
function OfHome({ home }) {
  const today = localDay(Date.now(), home.zone);
  const [period, setPeriod] = useState("14");
  const [turn, setTurn] = useState(0);
  const [added, setAdded] = useState(0);
  const asked = useMemo(() => ({ from_on: addDays(today, 1 - Number(period)), to_on: today }), [today, period]);
  const charged = useResource((reading) => getCharged(home.id, asked, reading), [home.id, asked, turn]);
  const submission = useSubmission();
  const changed = () => setTurn((old) => old + 1);
  const add = (/** @type {import("../../api/charging_types.d.ts").ChargingEntry} */ entry) => submission.run(async (key) => {
    await addCharging(home.id, entry, key);
    say("The charge is kept.");
    setAdded(added + 1);
    changed();
  });
  if (home.vehicles.length === 0) return html`<${Empty} title="No car has been entered for this home"><p>Your scheme's administrator enters it.</p></${Empty}>`;
  return html`
    <section class="card" aria-labelledby="add-charge"><h2 id="add-charge">Add a charge</h2>
      <${ChargeForm} key=${added} cars=${home.vehicles} zone=${home.zone} today=${today} action="Add the charge" submission=${submission} onSend=${add} />
      <${Details} summary="Read many from a file">${() => html`<${ImportBox} cars=${home.vehicles} outlets=${home.outlets} zone=${home.zone} onKept=${changed} />`}</${Details}>
    </section>
    <${Field} spec=${PERIOD} value=${period} onInput=${setPeriod} />
    <div class=${charged.isLoading && charged.data ? "stack is-loading" : "stack"}>
      <${Loaded} of=${charged} lines=${4} size="card">${(/** @type {Charged} */ data) => html`<${Answer} charged=${data} />`}</${Loaded}>
    </div>
    <${RecordsList} key=${period} asked=${asked} turn=${turn} cars=${home.vehicles} zone=${home.zone} today=${today} onChange=${changed} />
    <${ProfileLinks} home=${home} />`;
}

/** What was charged. */
export function ChargedPage() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHouseholdBriefly(householdId, reading), [householdId]);
  return html`<${Page} title="What was charged" class="page-member page-charged"
    lead="What went into your cars, at your own prices, beside the plan. Only people of this home see single charges.">
    <${Loaded} of=${home} lines=${3} size="card">${(/** @type {Household} */ data) => html`<${OfHome} home=${data} />`}</${Loaded}>
  </${Page}>`;
}
