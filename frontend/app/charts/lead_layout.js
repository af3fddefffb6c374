/** Where the bars and the line of the lead's chart go: what each day took beside what the night before it gives. */

/** @typedef {import("../api/lead_types.d.ts").LeadNight} LeadNight */

export const SHOWN_NIGHTS = 28;
const HEIGHT = 150;
const TOP = 22;
const LEFT = 60;
const GAP = 2;

/**
 * @param {LeadNight[]} nights oldest first; the newest are shown
 * @param {number} width of the drawing [px]
 */
export function leadLayout(nights, width) {
  const shown = nights.slice(-SHOWN_NIGHTS);
  const most = Math.max(1, ...shown.map(({ need_kwh: need, given_kwh: given }) => Math.max(need, given)));
  const step = (width - LEFT) / Math.max(1, shown.length);
  const yOf = (/** @type {number} */ kwh) => TOP + (1 - kwh / most) * HEIGHT;
  const bars = shown.map((night, place) => {
    const y = yOf(night.need_kwh);
    return {
      night,
      x: LEFT + place * step + GAP / 2,
      width: Math.max(1, step - GAP),
      y,
      height: TOP + HEIGHT - y,
      isBeyond: night.need_kwh > night.given_kwh,
    };
  });
  const line = shown.flatMap(({ given_kwh: given }, place) => {
    const y = yOf(given).toFixed(1);
    return [`${(LEFT + place * step).toFixed(1)},${y}`, `${(LEFT + (place + 1) * step).toFixed(1)},${y}`];
  }).join(" ");
  return { bars, line, most, left: LEFT, topY: TOP, baseY: TOP + HEIGHT, height: TOP + HEIGHT + 20 };
}
