/** What works take besides money, each with where it was read and how sure that is. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { STANDING_WORDS, WORK_WORDS } from "../../../lib/upgrade_words.js";

/** @typedef {import("../../../api/upgrade_types.d.ts").UpgradeNote} UpgradeNote */

/** @type {Record<string, string>} */
const TITLES = {
  electrician: "An electrician decides", network: "The network operator", certificate: "Certificate", notifiable: "Building control",
  lost_pen: "A broken supply conductor", smart: "Smart charging points", cable: "Which kind of cable", consent: "Consent", tax: "Tax: a question",
};

/** @param {{ note: UpgradeNote, all: number }} props */
function Note({ note, all }) {
  const only = note.works.length < all ? note.works.map((work) => WORK_WORDS[work]).join("; ") : "";
  return html`<li class="takes">
    <h3>${TITLES[note.kind] ?? note.kind}</h3>
    ${only && html`<p class="small">${only}</p>`}
    <p>${note.words}</p>
    <p class="small source">${[note.source, STANDING_WORDS[note.standing] ?? note.standing].filter(Boolean).join(" · ")}</p>
    ${note.working.length > 0 && html`<${Details} summary=${html`How this comes about<span class="unseen">: ${TITLES[note.kind]}${only && `, ${only}`}</span>`}>${() => html`<${WorkingSteps} steps=${note.working} />`}</${Details}>`}
  </li>`;
}

/** @param {{ takes: UpgradeNote[] }} props */
export function TakesList({ takes }) {
  const all = Math.max(0, ...takes.map(({ works }) => works.length));
  return html`<section class="card" aria-labelledby="takes">
    <h2 id="takes">What else it takes</h2>
    <ul class="takes-list">${takes.map((note) => html`<${Note} key=${note.kind + note.works.join()} note=${note} all=${all} />`)}</ul>
  </section>`;
}
