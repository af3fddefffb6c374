/** What each day took from the wall, as bars, beside what the night before it carries, as a line. */
import { html } from "htm/preact";
import { formatEnergy } from "../lib/quantity.js";
import { formatDay } from "../lib/time.js";
import { leadLayout } from "./lead_layout.js";
import { useWidth } from "./width.js";

/** @param {{ nights: import("../api/lead_types.d.ts").LeadNight[], label: string }} props */
export function LeadChart({ nights, label }) {
  const [box, width] = useWidth();
  const layout = width > 0 ? leadLayout(nights, width) : null;
  const first = layout?.bars[0], last = layout?.bars.at(-1);
  return html`<div class="chart">
    <ul class="legend">
      <li><span class="swatch swatch-lane-0" aria-hidden="true"></span>what the day took</li>
      <li><span class="swatch swatch-beyond" aria-hidden="true"></span>more than the night carries</li>
      <li><span class="swatch swatch-given" aria-hidden="true"></span>what the night carries</li>
    </ul>
    <div class="chart-box lead-chart" ref=${box}>
      ${layout && first && last && html`<svg role="img" aria-label=${label} width=${width} height=${layout.height} viewBox=${`0 0 ${width} ${layout.height}`}>
        <text class="chart-text" x="0" y=${layout.topY + 4}>${formatEnergy(layout.most)}</text>
        <text class="chart-text" x="0" y=${layout.baseY}>0</text>
        <line class="grid" x1=${layout.left} x2=${width} y1=${layout.topY} y2=${layout.topY} />
        ${layout.bars.map((bar) => html`<rect key=${bar.night.on} class=${bar.isBeyond ? "need-beyond" : "need"} x=${bar.x} y=${bar.y} width=${bar.width} height=${bar.height}>
          <title>${`${formatDay(bar.night.on)}: ${formatEnergy(bar.night.need_kwh)} of ${formatEnergy(bar.night.given_kwh)}`}</title></rect>`)}
        <polyline class="given-line" points=${layout.line} />
        <line class="zero" x1=${layout.left} x2=${width} y1=${layout.baseY} y2=${layout.baseY} />
        <text class="chart-text" x=${layout.left} y=${layout.baseY + 15}>${formatDay(first.night.on)}</text>
        <text class="chart-text" x=${width} y=${layout.baseY + 15} text-anchor="end">${formatDay(last.night.on)}</text>
      </svg>`}
    </div>
  </div>`;
}
