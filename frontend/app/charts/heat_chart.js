/** Heat in one worn joint at three currents, as bars with a table: why the amps are kept low. */
import { html } from "htm/preact";
import { CONTACT_HEAT, WORN_JOINT_MOHM } from "../lib/contact_heat.js";

const [WIDTH, BAR, GAP, LEFT, RIGHT] = [270, 26, 12, 40, 54];
const GREATEST_W = Math.max(...CONTACT_HEAT.map(({ power_w: power }) => power));
const HEIGHT = CONTACT_HEAT.length * (BAR + GAP);

/** The picture. */
export function HeatChart() {
  return html`<div class="heat">
    <svg role="img" aria-label="Heat in one worn joint grows with the square of the current; the figures are in the table below." viewBox=${`0 0 ${WIDTH} ${HEIGHT}`} width="100%">
      ${CONTACT_HEAT.map(({ current_a: amps, power_w: power }, place) => {
        const y = place * (BAR + GAP);
        const length = ((WIDTH - LEFT - RIGHT) * power) / GREATEST_W;
        return html`<g key=${amps}><text class="chart-text" x=${LEFT - 8} y=${y + BAR / 2 + 4} text-anchor="end">${`${amps} A`}</text>
          <rect class="heat-bar" x=${LEFT} y=${y} width=${length} height=${BAR} />
          <text class="chart-text" x=${LEFT + length + 6} y=${y + BAR / 2 + 4}>${`${power} W`}</text></g>`;
      })}
    </svg>
    <table class="table table-tight"><caption class="small">Heat in one worn joint of ${WORN_JOINT_MOHM} thousandths of an ohm: current times current times resistance</caption>
      <thead><tr><th scope="col">Current</th><th scope="col" class="number">Heat</th><th scope="col" class="number">Beside 10 A</th></tr></thead>
      <tbody>${CONTACT_HEAT.map(({ current_a: amps, power_w: power, ratio }) => html`<tr key=${amps}><th scope="row">${amps} A</th>
        <td class="number">${power} W</td><td class="number">${ratio === 1 ? "the same" : `${ratio} times`}</td></tr>`)}</tbody></table>
    <p class="small">All of it in a spot smaller than a fingertip, for hours. Fuse, breaker and RCD do not see it: the current is normal.</p>
  </div>`;
}
