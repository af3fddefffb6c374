/** A typical day's bands as SVG. */
import { html } from "htm/preact";
import { dayLayout } from "./day_layout.js";
import { useWidth } from "./width.js";

/**
 * @param {{
 *   bands: import("../api/types.d.ts").Band[],
 *   dayKind: import("../api/types.d.ts").DayKind,
 *   month: number,
 *   label: string,
 * }} props
 */
export function DayChart({ bands, dayKind, month, label }) {
  const [box, width] = useWidth();
  const layout = width > 0 ? dayLayout(bands, dayKind, month, width) : null;
  const ticks = [["00:00", 0, "start"], ["06:00", 0.25, "middle"], ["12:00", 0.5, "middle"], ["18:00", 0.75, "middle"], ["24:00", 1, "end"]];
  return html`<div class="chart-box day-chart" ref=${box}>
    ${layout && html`<svg role="img" aria-label=${label} width=${width} height=${layout.height} viewBox=${`0 0 ${width} ${layout.height}`}>
      ${layout.parts.map((part) => html`<g key=${part.x}>
        <rect class=${`day-${part.kind}`} x=${part.x} y=${part.y} width=${part.width} height=${part.height}><title>${part.words}</title></rect>
        ${part.text && html`<text class="price-text" x=${part.x + part.width / 2} y=${part.y - 4} text-anchor="middle">${part.text}</text>`}
      </g>`)}
      <line class="zero" x1="0" x2=${width} y1=${layout.baseY} y2=${layout.baseY} />
      ${ticks.map(([text, share, anchor]) => html`<text key=${text} class="chart-text" x=${Number(share) * width} y=${layout.baseY + 14} text-anchor=${anchor}>${text}</text>`)}
    </svg>`}
  </div>`;
}
