/** The member's own habits, as far as a plan depends on them. */
import { html } from "htm/preact";
import { Page } from "../../components/page.js";
import { ownHouseholdId } from "../../state/session.js";
import { HabitsForm } from "./habits_form.js";
import { HouseReadings } from "./house_readings.js";

/** Evenings at home. */
export function HabitsPage() {
  return html`<${Page} title="Evenings at home" class="page-member" lead=${html`What the plan may ask of you. After a change it is worked out anew; see it under <a href="/today">Today</a>.`}>
    <section class="card" aria-label="Evenings at home"><${HabitsForm} householdId=${ownHouseholdId()} /></section>
    <${HouseReadings} householdId=${ownHouseholdId()} />
    <p><a href="/cars">Your cars, their routine and diary</a></p>
  </${Page}>`;
}
