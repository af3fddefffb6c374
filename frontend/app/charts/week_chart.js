/** The week's chart as SVG, drawn anew for its width; a line of words follows the pointer. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { formatUnitPrice } from "../lib/money.js";
import { formatEnergy } from "../lib/quantity.js";
import { formatInstant, formatTime } from "../lib/time.js";
import { halfHourAt, halfHourMs, laneLetter, weekLayout } from "./week_layout.js";
import { useWidth } from "./width.js";

/** @typedef {import("../api/types.d.ts").PlanWeek} PlanWeek */
/** @typedef {import("./week_layout.js").Strip} Strip */

/**
 * What one half-hour holds, in words.
 * @param {PlanWeek} week
 * @param {number} place
 * @returns {string}
 */
export function halfHourWords(week, place) {
  const start = halfHourMs(week, place);
  const price = week.is_price_known[place] ? formatUnitPrice(week.price_pence_per_kwh[place]) : "price not known";
  const charging = week.vehicles.filter((vehicle) => vehicle.energy_kwh[place] > 0)
    .map((vehicle) => `${vehicle.label} takes ${formatEnergy(vehicle.energy_kwh[place])}`);
  return [`${formatInstant(start, week.zone)} to ${formatTime(start + 1_800_000, week.zone)}: ${price}`, ...charging].join(", ");
}

const NO_PRICE_PX = 28;

/** @param {{ strip: Strip, lane: Strip["lanes"][number], place: number, plotLeft: number }} props */
function Lane({ strip, lane, place, plotLeft }) {
  return html`<g class=${`lane lane-${place % 3}`}>
    ${lane.letter && html`<text class="chart-text" x=${plotLeft - 5} y=${lane.y + 13} text-anchor="end">${lane.letter}</text>`}
    <line class="lane-line" x1=${strip.left} x2=${strip.right} y1=${lane.y + 9} y2=${lane.y + 9} />
    ${lane.bars.map((bar) => html`<g key=${bar.x}>
      <rect class="bar" x=${bar.x} y=${lane.y} width=${bar.width} height="17" rx="2"><title>${bar.title}</title></rect>
      ${bar.text && html`<text class="bar-text" x=${bar.x + bar.width / 2} y=${lane.y + 12.5} text-anchor="middle">${bar.text}</text>`}
    </g>`)}
  </g>`;
}

/** @param {{ strip: Strip, layout: import("./week_layout.js").WeekLayout }} props */
function DayStrip({ strip, layout }) {
  const nameY = strip.top + (layout.isWide ? 30 : 13);
  return html`<g>
    <text class="day-name" x="0" y=${nameY}>${strip.name}</text>
    ${strip.remark && html`<text class="chart-text" x=${layout.isWide ? 0 : layout.plotRight} y=${layout.isWide ? nameY + 16 : nameY}
      text-anchor=${layout.isWide ? "start" : "end"}>${layout.isWide ? strip.remark.split(":")[0] : strip.remark}</text>`}
    ${strip.ticks.map((tick) => html`<line key=${tick.text} class="grid" x1=${tick.x} x2=${tick.x} y1=${strip.top + (layout.isWide ? 4 : 20)} y2=${strip.axisY} />`)}
    ${strip.unknown.map((gap) => html`<g key=${gap.x}>
      <rect class="no-price" x=${gap.x} width=${gap.width} y=${strip.zeroY - NO_PRICE_PX} height=${NO_PRICE_PX} />
      ${gap.hasText && html`<text class="chart-text" x=${gap.x + gap.width / 2} y=${strip.zeroY - NO_PRICE_PX / 2 + 4} text-anchor="middle">price not known</text>`}
    </g>`)}
    <path class="price-area" d=${strip.area} />
    <path class="price-line" d=${strip.line} />
    <line class="zero" x1=${strip.left} x2=${strip.right} y1=${strip.zeroY} y2=${strip.zeroY} />
    ${strip.prices.map((label) => html`<text key=${label.x} class="price-text" x=${label.x} y=${label.y} text-anchor=${label.anchor}>${label.text}</text>`)}
    ${strip.lanes.map((lane, place) => html`<${Lane} key=${place} strip=${strip} lane=${lane} place=${place} plotLeft=${layout.plotLeft} />`)}
    ${strip.ticks.map((tick) => html`<text key=${tick.text} class="chart-text" x=${tick.x} y=${strip.axisY + 12} text-anchor=${tick.anchor}>${tick.text}</text>`)}
  </g>`;
}

/** @param {{ week: PlanWeek }} props */
function Legend({ week }) {
  const count = week.vehicles.length;
  return html`<ul class="legend">
    <li><span class="swatch swatch-price"></span>Price: the higher, the dearer</li>
    ${week.vehicles.map((vehicle, place) => html`<li key=${vehicle.vehicle_id}>
      <span class=${`swatch swatch-lane-${place % 3}`}></span>${laneLetter(place, count)} ${vehicle.label} charging</li>`)}
  </ul>`;
}

/** @param {{ week: PlanWeek, label: string }} props */
export function WeekChart({ week, label }) {
  const [box, width] = useWidth();
  const [pointed, setPointed] = useState(/** @type {number | null} */ (null));
  const layout = width > 0 ? weekLayout(week, width) : null;
  const follow = (/** @type {PointerEvent} */ event) => {
    if (!layout || !(event.currentTarget instanceof Element)) return;
    const frame = event.currentTarget.getBoundingClientRect();
    setPointed(halfHourAt(layout, event.clientX - frame.left, event.clientY - frame.top));
  };
  // A finger leaves as soon as it is lifted; what it pointed at stays to be read.
  const leave = (/** @type {PointerEvent} */ event) => event.pointerType !== "touch" && setPointed(null);
  const hint = "Point at the chart to read one half-hour; the same is in the tables below.";
  return html`<figure class="chart">
    <${Legend} week=${week} />
    <p class="chart-readout small" aria-hidden="true">${pointed === null ? hint : halfHourWords(week, pointed)}</p>
    <div class=${`chart-box chart-days-${week.days.length} chart-cars-${Math.min(3, week.vehicles.length)}`} ref=${box}>
      ${layout && html`<svg role="img" aria-label=${label} width=${layout.width} height=${layout.height} viewBox=${`0 0 ${layout.width} ${layout.height}`}
        onPointerMove=${follow} onPointerDown=${follow} onPointerLeave=${leave}>
        ${layout.strips.map((strip) => html`<${DayStrip} key=${strip.on} strip=${strip} layout=${layout} />`)}
      </svg>`}
    </div>
  </figure>`;
}
