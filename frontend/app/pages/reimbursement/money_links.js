/** The pages about what the scheme pays, each one step from the others. */
import { html } from "htm/preact";
import { session } from "../../state/session.js";
import { url } from "../../state/router.js";

const LINKS = [
  { href: "/claims", label: "Claims" }, { href: "/statements", label: "Statements" },
  { href: "/reimbursement-rules", label: "Rules" }, { href: "/figures", label: "Figures" },
];
const ADMINISTRATORS = [{ href: "/upgrades", label: "Upgrades" }, { href: "/carbon", label: "Carbon" }];

/** Finance has no way to what is about homes. */
export function MoneyLinks() {
  const path = url.value.split("?")[0];
  const links = session.value?.roles.includes("administrator") ? [...LINKS, ...ADMINISTRATORS] : LINKS;
  return html`<nav class="in-page" aria-label="About money"><ul>${links.map(({ href, label }) =>
    html`<li key=${href}><a href=${href} aria-current=${path === href ? "page" : undefined}>${label}</a></li>`)}</ul></nav>`;
}
