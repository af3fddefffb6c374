/** The shapes of a drawing as SVG points, in metres. */

/** @typedef {import("../api/drive_types.d.ts").Spot} Spot */
/** @typedef {import("../api/drive_types.d.ts").Place} Place */
/** @typedef {import("../api/drive_types.d.ts").Wall} Wall */
/** @typedef {import("../api/drive_types.d.ts").Drawing} Drawing */

/**
 * A point so far along a line from its start, and so far to its left [m].
 * @param {Spot} start
 * @param {Spot} end
 * @param {number} along
 * @param {number} [left]
 * @returns {Spot}
 */
export function pointOn(start, end, along, left = 0) {
  const length = Math.hypot(end[0] - start[0], end[1] - start[1]) || 1;
  const across = (end[0] - start[0]) / length;
  const down = (end[1] - start[1]) / length;
  return [start[0] + along * across + left * down, start[1] + along * down - left * across];
}

/**
 * The corners of a rectangle along a line.
 * @param {Spot} start
 * @param {Spot} end
 * @param {number} from
 * @param {number} to
 * @param {number} half half its width
 * @returns {Spot[]}
 */
export function boxOn(start, end, from, to, half) {
  return [pointOn(start, end, from, half), pointOn(start, end, to, half), pointOn(start, end, to, -half), pointOn(start, end, from, -half)];
}

/**
 * @param {{ start: Spot, end: Spot }} line
 */
export function lengthOf({ start, end }) {
  return Math.hypot(end[0] - start[0], end[1] - start[1]);
}

/**
 * @param {Place} place
 */
export function placeBox(place) {
  return boxOn(place.start, place.end, 0, lengthOf(place), place.width_m / 2);
}

/**
 * The body of a car in the middle of a place.
 * @param {Drawing} drawing
 * @param {Place} place
 */
export function carBox(drawing, place) {
  const length = lengthOf(place);
  const car = Math.min(drawing.car_length_m, length);
  return boxOn(place.start, place.end, (length - car) / 2, (length + car) / 2, Math.min(drawing.car_width_m, place.width_m) / 2);
}

/**
 * The arrow head that shows which way a car drives in.
 * @param {Place} place
 * @returns {Spot[]}
 */
export function arrowOf(place) {
  const tip = lengthOf(place) - 0.3;
  return [pointOn(place.start, place.end, tip), pointOn(place.start, place.end, tip - 0.6, 0.35), pointOn(place.start, place.end, tip - 0.6, -0.35)];
}

/**
 * @param {Spot[]} spots
 */
export function pointsText(spots) {
  return spots.map(([x, y]) => `${Math.round(x * 1000) / 1000},${Math.round(y * 1000) / 1000}`).join(" ");
}

/**
 * @param {Spot[]} spots
 * @returns {Spot}
 */
export function middleOf(spots) {
  return [spots.reduce((sum, [x]) => sum + x, 0) / spots.length, spots.reduce((sum, [, y]) => sum + y, 0) / spots.length];
}

const EDGE_M = 0.4;
/** Of the sheet's width: on a narrow phone words are 12 px high. */
const LETTER_SHARE = 0.042;

/**
 * @param {Drawing} drawing
 */
export function viewBoxOf({ width_m: width, depth_m: depth }) {
  return `${-EDGE_M} ${-EDGE_M} ${width + 2 * EDGE_M} ${depth + 2 * EDGE_M}`;
}

/**
 * The height of letters on a sheet [m].
 * @param {Drawing} drawing
 */
export function letterOf({ width_m: width }) {
  return (width + 2 * EDGE_M) * LETTER_SHARE;
}

/** @type {Record<string, string>} */
const SHORT_WORDS = {
  path: "path", footway: "public footway", lawn: "lawn", escape_route: "escape route", strike: "cars strike",
  gas_meter: "gas", tank: "tank", metalwork: "metal", door: "door", window: "window",
};

/**
 * The words of a drawing and where they stand; one that would lie over an earlier one is left out, and so is one that
 * would lie over a point of ``clear``. The list below the sheet has them all.
 * @param {Drawing} drawing
 * @param {Spot[]} [clear]
 * @returns {{ at: Spot, words: string }[]}
 */
export function labelsOf(drawing, clear = []) {
  const onWall = (/** @type {{ wall: number, from_m: number, to_m: number }} */ { wall, from_m: from, to_m: to }) =>
    pointOn(drawing.walls[wall].start, drawing.walls[wall].end, (from + to) / 2, -0.6);
  /** @type {{ at: Spot, words: string }[]} */
  const all = [
    ...drawing.places.map((place) => ({ at: middleOf([place.start, place.end]), words: place.label })),
    ...drawing.areas.map(({ kind, corners }) => ({ at: middleOf(corners), words: SHORT_WORDS[kind] })),
    ...drawing.marks.map(({ kind, at }) => ({ at: /** @type {Spot} */ ([at[0], at[1] - 0.35]), words: SHORT_WORDS[kind] })),
    ...(drawing.consumer_unit ? [{ at: /** @type {Spot} */ ([drawing.consumer_unit[0], drawing.consumer_unit[1] - 0.4]), words: "unit" }] : []),
    ...drawing.walls.map((wall, index) => ({ at: pointOn(wall.start, wall.end, lengthOf(wall) / 2, 0.45), words: `wall ${index + 1}` })),
    ...drawing.openings.map((opening) => ({ at: onWall(opening), words: SHORT_WORDS[opening.kind] })),
  ];
  const letter = letterOf(drawing);
  const boxOf = (/** @type {Spot} */ [x, y], /** @type {string} */ words) => {
    const half = (words.length * letter * 0.62) / 2;
    return [x - half, y - letter, x + half, y + letter * 0.3];
  };
  const taken = clear.map((at) => boxOf([at[0], at[1] + letter * 0.3], "00"));
  return all.filter(({ at, words }) => {
    const box = boxOf(at, words);
    if (taken.some((other) => box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3])) return false;
    taken.push(box);
    return true;
  });
}
