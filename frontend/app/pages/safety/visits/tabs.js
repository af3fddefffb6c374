/** The pages around visits, side by side. */
import { html } from "htm/preact";
import { url } from "../../../state/router.js";

const TABS = [["/visits", "Visits"], ["/inspections", "Inspections to accept"], ["/electricians", "Electricians"]];

export function VisitTabs() {
  const path = url.value.split("?")[0];
  return html`<nav class="in-page tabs" aria-label="Visits and inspections"><ul>${TABS.map(([href, label]) => html`<li key=${href}>
    <a href=${href} aria-current=${path === href ? "page" : undefined}>${label}</a></li>`)}</ul></nav>`;
}
