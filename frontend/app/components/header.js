/** The top of every page: scheme, navigation for the person's roles, sign out. */
import { html } from "htm/preact";
import { asProblem, problemWords } from "../lib/problem.js";
import { say } from "../state/notices.js";
import { go, url } from "../state/router.js";
import { leave, session } from "../state/session.js";
import { mayLeave } from "../state/unsaved.js";

/** also: pages that belong to the link's group. @typedef {{ href: string, label: string, also?: string[] }} Link */

/** @type {Partial<Record<import("../api/types.d.ts").Role, Link[]>>} */
const LINKS = {
  member: [
    { href: "/today", label: "Today" },
    { href: "/week", label: "Week", also: ["/what-if"] },
    { href: "/cars", label: "Cars", also: ["/habits"] },
    { href: "/outlets", label: "Safe?", also: ["/check", "/first-charge", "/incident", "/stop-answer", "/survey", "/reports"] },
    { href: "/money", label: "Money", also: ["/miles", "/drive"] },
    { href: "/reminders", label: "Reminders", also: ["/notices"] },
  ],
  finance: [
    { href: "/claims", label: "Claims" },
    { href: "/statements", label: "Statements", also: ["/reimbursement-rules"] },
    { href: "/figures", label: "Figures" },
  ],
  administrator: [
    { href: "/households", label: "Households" },
    { href: "/safety", label: "Safety" },
    { href: "/tariffs", label: "Tariffs" },
    { href: "/runs", label: "Replanning" },
    { href: "/visits", label: "Visits", also: ["/electricians", "/inspections"] },
    { href: "/upgrades", label: "Money", also: ["/claims", "/statements", "/reimbursement-rules", "/carbon", "/figures"] },
    { href: "/duty", label: "Ring them", also: ["/notices", "/reminders"] },
    { href: "/mail", label: "E-mail" },
  ],
};

async function signOutAsked() {
  if (!(await mayLeave())) return;
  try {
    await leave();
    go("/sign-in", { isAsked: true });
  } catch (thrown) {
    const { headline, advice } = problemWords(asProblem(thrown));
    say(`${headline}. ${advice}`);
  }
}

/** @param {Link} props */
function NavLink({ href, label, also = [] }) {
  const path = url.value.split("?")[0];
  const isHere = [href, ...also].some((place) => path === place || path.startsWith(`${place}/`));
  return html`<li><a href=${href} aria-current=${isHere ? "page" : undefined}>${label}</a></li>`;
}

/** Shown signed out too, then with the name alone, as tall as signed in so that nothing moves. */
export function Header() {
  const who = session.value;
  const links = who ? (["administrator", "finance", "member"]).filter((role) => who.roles.includes(/** @type {any} */ (role)))
    .flatMap((role) => LINKS[/** @type {import("../api/types.d.ts").Role} */ (role)] ?? []) : [];
  return html`
    <header class="top">
      <a class="brand" href="/"><svg class="brand-mark" viewBox="0 0 24 24" width="26" height="26" aria-hidden="true">
        <path d="M3 20V9.5L12 3l9 6.5V20" /><path d="M9 20v-5h6v5M10 11v4M14 11v4" /></svg>
        <span class="brand-names">Plugward<span class="scheme">${who ? who.scheme.name : "Charging at home"}</span></span></a>
      ${who && html`<div class="who"><span class="who-name">${who.account.name}</span>
          <button type="button" class="button button-quiet" onClick=${signOutAsked}>Sign out</button></div>`}
    </header>
    <div class="main-nav">${who && html`<nav aria-label="Main"><ul>
      ${links.map((link) => html`<${NavLink} key=${link.href} ...${link} />`)}
    </ul></nav>`}</div>
  `;
}
