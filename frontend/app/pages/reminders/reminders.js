/** What falls due, in the calendar and by mail: a member's dates and settings; an administrator's settings alone. */
import { html } from "htm/preact";
import { getHousehold } from "../../api/home.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId, session } from "../../state/session.js";
import { DueList } from "./due_list.js";
import { Feeds } from "./feeds.js";
import { MailChoices } from "./mail_choices.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */

function OwnDates() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  return html`<${Loaded} of=${home} lines=${3} size="card">${(/** @type {Household} */ data) => html`<${DueList} home=${data} onChange=${home.reload} />`}</${Loaded}>`;
}

/** Reminders. */
export function RemindersPage() {
  const hasHome = Boolean(session.value?.household_id);
  return html`<${Page} title="Reminders" class="page-member" lead="You are reminded by e-mail before a date, on the day, and weekly until it is done."
    actions=${html`<a class="button" href="/notices">Safety notices</a>`}>
    ${hasHome && html`<${OwnDates} />`}
    <${Feeds} hasHome=${hasHome} />
    <${MailChoices} />
  </${Page}>`;
}
