/** Everything that is drawn on the sheet, and the answer over it. Each kind has a word: no colour speaks alone. */
import { html } from "htm/preact";
import { arrowOf, boxOn, carBox, labelsOf, placeBox, pointsText } from "../../../lib/drive_picture.js";

/** @typedef {import("../../../api/drive_types.d.ts").Drawing} Drawing */
/** @typedef {import("../../../api/drive_types.d.ts").Siting} Siting */
/** @typedef {import("../../../api/drive_types.d.ts").Spot} Spot */

/** @param {{ at: Spot, words: string }} props */
function Words({ at, words }) {
  return html`<text class="drive-words" x=${at[0]} y=${at[1]} text-anchor="middle">${words}</text>`;
}

/** @param {{ drawing: Drawing }} props */
function Grid({ drawing: { width_m: width, depth_m: depth } }) {
  const across = Array.from({ length: Math.floor(width) + 1 }, (_, at) => `M${at} 0V${depth}`);
  const down = Array.from({ length: Math.floor(depth) + 1 }, (_, at) => `M0 ${at}H${width}`);
  return html`<rect class="drive-paper" width=${width} height=${depth} /><path class="drive-grid" d=${[...across, ...down].join("")} />`;
}

/** @param {{ drawing: Drawing }} props */
function Ground({ drawing }) {
  return html`${drawing.areas.map(({ kind, corners }, at) => html`<polygon key=${at} class=${`drive-area drive-${kind}`}
    points=${pointsText(corners)} />`)}
    ${drawing.places.map((place, at) => html`<g key=${at}>
      <polygon class="drive-place" points=${pointsText(placeBox(place))} /><polygon class="drive-car" points=${pointsText(carBox(drawing, place))} />
      <polygon class="drive-arrow" points=${pointsText(arrowOf(place))} /></g>`)}`;
}

/** @param {{ drawing: Drawing }} props */
function Walls({ drawing }) {
  return html`${drawing.walls.map((wall, at) => html`<line key=${at} class="drive-wall"
    x1=${wall.start[0]} y1=${wall.start[1]} x2=${wall.end[0]} y2=${wall.end[1]} />`)}
    ${drawing.stretches.map(({ wall, from_m: from, to_m: to }, at) => {
      const { start, end } = drawing.walls[wall];
      return html`<polygon key=${at} class="drive-stretch" points=${pointsText(boxOn(start, end, from, to, 0.22))} />`;
    })}
    ${drawing.openings.map(({ wall, from_m: from, to_m: to }, at) => {
      const { start, end } = drawing.walls[wall];
      return html`<polygon key=${at} class="drive-opening" points=${pointsText(boxOn(start, end, from, to, 0.15))} />`;
    })}`;
}

/** @param {{ drawing: Drawing }} props */
function Marks({ drawing }) {
  const unit = drawing.consumer_unit;
  return html`${drawing.marks.map(({ at }, number) => html`<rect key=${number} class="drive-mark" x=${at[0] - 0.2} y=${at[1] - 0.2} width="0.4" height="0.4" />`)}
    ${unit && html`<rect class="drive-unit" x=${unit[0] - 0.25} y=${unit[1] - 0.25} width="0.5" height="0.5" />`}`;
}

/** @param {{ siting: Siting }} props */
function Answer({ siting: { best, others } }) {
  if (!best) return null;
  const ways = best.reaches.filter((reach) => reach.is_usual && reach.is_reached);
  return html`
    ${ways.map((reach) => html`<polyline key=${reach.car_id + reach.way} class=${`drive-cable drive-${reach.way}`} points=${pointsText(reach.route)} />`)}
    ${others.map(({ at }, number) => html`<g key=${number}><circle class="drive-other" cx=${at[0]} cy=${at[1]} r="0.34" />
      <${Words} at=${[at[0], at[1] + 0.2]} words=${String(number + 2)} /></g>`)}
    <circle class="drive-best" cx=${best.at[0]} cy=${best.at[1]} r="0.38" />
    <text class="drive-best-number" x=${best.at[0]} y=${best.at[1] + 0.19} text-anchor="middle">1</text>`;
}

/** @param {{ drawing: Drawing, siting?: Siting | null }} props */
export function BoardShapes({ drawing, siting = null }) {
  const clear = siting?.best ? [siting.best, ...siting.others].map(({ at }) => at) : [];
  return html`<${Grid} drawing=${drawing} /><${Ground} drawing=${drawing} /><${Walls} drawing=${drawing} /><${Marks} drawing=${drawing} />
    ${labelsOf(drawing, clear).map(({ at, words }, number) => html`<${Words} key=${number} at=${at} words=${words} />`)}
    ${siting && html`<${Answer} siting=${siting} />`}`;
}
