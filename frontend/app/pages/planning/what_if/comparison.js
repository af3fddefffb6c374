/** Now and changed side by side, the year, what was taken for granted, the working; shared by one tap and a confirmation. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { shareWhatIf } from "../../../api/what_ifs.js";
import { Details } from "../../../components/details.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { formatPounds } from "../../../lib/money.js";
import { formatEnergy } from "../../../lib/quantity.js";
import { formatInstant } from "../../../lib/time.js";
import { yearWords } from "../../../lib/what_if_words.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/what_if_types.d.ts").WhatIf} WhatIf */
/** @typedef {import("../../../api/what_if_types.d.ts").Side} Side */

/** @type {[string, (side: Side) => string][]} */
const ROWS = [
  ["Cost", (side) => formatPounds(side.cost_pence)],
  ["Energy", (side) => formatEnergy(side.energy_kwh)],
  ["Shortfall", (side) => (side.short_kwh > 0 ? formatEnergy(side.short_kwh) : "nothing")],
  ["Journeys short", (side) => String(side.short_departures)],
  ["Nights", (side) => String(side.night_count)],
];

const SHARED = {
  title: "Share this with the administrator?",
  text: "The administrator of your scheme will see its name, and cost, energy and shortfall now and changed. Not when your cars leave, and not what you entered.",
  action: "Share the totals",
};

/** @param {{ whatIf: WhatIf, zone: string, onChange: (whatIf: WhatIf) => void }} props */
export function Comparison({ whatIf, zone, onChange }) {
  const { result } = whatIf;
  const title = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  const sharing = useSubmission();
  useEffect(() => title.current?.focus(), []);
  const share = async () => {
    if (!whatIf.is_shared && !(await askConfirm(SHARED))) return;
    await sharing.run(async (key) => {
      const { data } = await shareWhatIf(ownHouseholdId(), whatIf.id, !whatIf.is_shared, key);
      onChange(data);
      say(data.is_shared ? "Shared: the administrator sees the totals." : "No longer shared.");
    });
  };
  return html`<section class="card" aria-labelledby="compared">
    <h2 id="compared" ref=${title} tabindex="-1">${whatIf.label}</h2>
    <p class="small">Seven days from ${formatInstant(result.starts_at, zone)}</p>
    <div class="table-box" tabindex="0" role="region" aria-label="Now and changed"><table class="table sides">
      <caption class="unseen">The seven days as they are now and as they would be</caption>
      <thead><tr><td></td><th scope="col" class="number">Now</th><th scope="col" class="number">Changed</th></tr></thead>
      <tbody>${ROWS.map(([name, words]) => html`<tr key=${name}><th scope="row">${name}</th>
        <td class="number">${words(result.now)}</td><td class="number">${words(result.changed)}</td></tr>`)}</tbody>
    </table></div>
    <p><strong>A year: ${yearWords(result.yearly)}</strong>, ${result.yearly.as_if}.</p>
    <ul>${result.notes.map((note) => html`<li key=${note}>${note}</li>`)}</ul>
    <${Details} summary="How these figures come about" isOpen=${true}>${() => html`<${WorkingSteps} steps=${result.working} />`}</${Details}>
    <${ProblemNote} problem=${sharing.problem} takesFocus />
    <div class="form-actions"><button type="button" class="button" disabled=${sharing.isBusy} onClick=${share}>
      ${whatIf.is_shared ? "Stop sharing" : "Share with the administrator"}</button></div>
  </section>`;
}
