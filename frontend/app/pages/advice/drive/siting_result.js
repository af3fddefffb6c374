/** Where the outlet should go: the best place, each car's reach both ways, cautions, consents, the fixed cable, the working. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { driveSvgAddress } from "../../../api/drives.js";
import { Details } from "../../../components/details.js";
import { Facts } from "../../../components/facts.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { letterOf, viewBoxOf } from "../../../lib/drive_picture.js";
import { CONSENT_ANSWERS, CONSENT_KINDS, metresWords, positionWords, reachRows, WITHIN_WORDS } from "../../../lib/drive_words.js";
import { ownHouseholdId } from "../../../state/session.js";
import { BoardShapes } from "./board_shapes.js";

/** @typedef {import("../../../api/drive_types.d.ts").Siting} Siting */
/** @typedef {import("../../../api/drive_types.d.ts").Position} Position */

/** @param {{ position: Position }} props */
function ReachTable({ position }) {
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Reach of each car"><table class="table drive-reach">
    <caption class="unseen">Each car in each place, nose in and nose out</caption>
    <thead><tr><th scope="col">Car and way round</th><th scope="col">Answer</th></tr></thead>
    <tbody>${reachRows(position).map((row) => html`<tr key=${row.key}><th scope="row">${row.way} <span class="small">${row.car}, ${row.place}</span></th>
      <td>${row.isReached ? "✓ " : "✗ "}${row.answer}. <span class="small">Needs ${row.needed}; the cable is ${row.cable}.</span></td></tr>`)}</tbody>
  </table></div>`;
}

/** @param {{ siting: Siting }} props */
function Best({ siting: { best, others } }) {
  if (!best) return null;
  return html`
    <p><strong>${positionWords(best)}.</strong> Marked 1 in the drawing; plain lines are the cable to a car nose in, dashed ones nose out.</p>
    <p class="small">Why: ${best.why}.</p>
    <${ReachTable} position=${best} />
    ${others.length > 0 && html`<h3>Next best</h3><ul>${others.map((other, number) => html`<li key=${number}>
      <strong>${number + 2}</strong> ${positionWords(other)}: ${other.why}.</li>`)}</ul>`}`;
}

/** @param {{ siting: Siting }} props */
function FixedCables({ siting }) {
  if (siting.fixed_cables.length === 0) return null;
  const rows = siting.fixed_cables.map((cable) => /** @type {[string, unknown]} */ ([
    `For ${cable.use}, ${cable.size_mm2} mm² at ${cable.current_a} A`,
    cable.length_m === null ? "Not known: draw the consumer unit near a wall that leads there"
      : `${metresWords(cable.length_m)} of cable, loses ${cable.drop_v?.toFixed(2)} V (${cable.drop_percent?.toFixed(2)} %): ${WITHIN_WORDS[cable.is_within]}`,
  ]));
  return html`<h3>Fixed cable to the consumer unit</h3><${Facts} rows=${rows} />`;
}

/** @param {{ siting: Siting }} props */
function Caution({ siting: { best, cautions, not_known: unknown, refused } }) {
  return html`<div class="note note-warn"><p class="note-title">For the electrician to confirm</p>
      <ul>${[...cautions, ...(best?.cautions ?? [])].map((words) => html`<li key=${words}>${words}</li>`)}</ul></div>
    ${unknown.length > 0 && html`<div class="note"><p class="note-title">Not known</p><ul>${unknown.map((words) => html`<li key=${words}>${words}</li>`)}</ul></div>`}
    ${refused.length > 0 && html`<h3>Where no outlet goes</h3><ul>${refused.map((part) => html`<li key=${`${part.wall}${part.side}${part.reason}${part.from_m}`}>
      Wall ${part.wall + 1}, ${part.side} side, ${metresWords(part.from_m)} to ${metresWords(part.to_m)}: ${part.words}.</li>`)}</ul>`}`;
}

/** @param {{ siting: Siting, drawing: import("../../../api/drive_types.d.ts").Drawing }} props */
function Picture({ siting, drawing }) {
  if (!siting.best) return null;
  return html`<svg class="drive-board drive-picture" role="img" aria-label=${`The drawing with the place marked: ${positionWords(siting.best)}`}
    viewBox=${viewBoxOf(drawing)} font-size=${letterOf(drawing)}><${BoardShapes} drawing=${drawing} siting=${siting} /></svg>`;
}

/** @param {{ siting: Siting, drawing: import("../../../api/drive_types.d.ts").Drawing, driveId: string }} props */
export function SitingResult({ siting, drawing, driveId }) {
  const title = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => title.current?.focus(), []);
  const consents = siting.consents.map(({ kind, answer, given_on: on }) => /** @type {[string, unknown]} */ ([
    CONSENT_KINDS[kind], CONSENT_ANSWERS[answer] + (on ? `, on ${on}` : ""),
  ]));
  return html`<section class="card drive-answer" aria-labelledby="place-title">
    <h2 id="place-title" ref=${title} tabindex="-1">The place</h2>
    <p class="drive-summary">${siting.summary}</p>
    <${Picture} siting=${siting} drawing=${drawing} />
    <${Best} siting=${siting} />
    <${Caution} siting=${siting} />
    <${FixedCables} siting=${siting} />
    <h3>Consents as recorded</h3>
    <${Facts} rows=${consents} />
    <p class="small">Landlord, freeholder and insurer are asked in <a href="/survey">the survey of your home</a>. A cable across a public footway needs the highway authority; here it is refused.</p>
    <h3>Who has to be told of the work</h3>
    <p>${siting.notifiable.words}</p>
    <p class="small">${siting.notifiable.source ? `Source: ${siting.notifiable.source} (${siting.notifiable.standing.replaceAll("_", " ")}).` : "Not read: ask before any work starts."}</p>
    <${Details} summary="How this comes about">${() => html`<${WorkingSteps} steps=${siting.working} />`}</${Details}>
    <div class="form-actions"><button type="button" class="button" onClick=${() => print()}>Print this page</button>
      <a class="button" href=${driveSvgAddress(ownHouseholdId(), driveId)} target="_blank" rel="noopener">The drawing alone, for paper</a></div>
  </section>`;
}
