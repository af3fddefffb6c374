/** How the parts of a drawing of the drive are said. */

/** @typedef {import("../api/drive_types.d.ts").Drawing} Drawing */
/** @typedef {import("../api/drive_types.d.ts").Position} Position */
/** @typedef {import("./drive_drawing.js").Tool} Tool */
/** @typedef {import("./drive_drawing.js").ThingList} ThingList */

/** Where a car's charging port is, as seen from the driver's seat. @type {Record<string, string>} */
export const PORT_WORDS = {
  not_known: "Not known",
  nose: "In the nose",
  tail: "In the tail",
  front_left: "Front left wing",
  front_right: "Front right wing",
  rear_left: "Rear left wing",
  rear_right: "Rear right wing",
};

/** @type {[string, [Tool, string][]][]} */
export const TOOL_GROUPS = [
  ["House", [["wall", "Wall"], ["door", "Door"], ["window", "Window"], ["stretch", "Part of a wall where an outlet may go"], ["consumer_unit", "Consumer unit"]]],
  ["Cars", [["place", "Place for a car"]]],
  ["Ground", [["path", "Path"], ["footway", "Public footway"], ["lawn", "Lawn"], ["escape_route", "Escape route"], ["strike", "Where a car could strike the wall"]]],
  ["To keep away from", [["gas_meter", "Gas meter"], ["tank", "Gas or oil tank"], ["metalwork", "Metal on another earth"]]],
];

/** @type {Record<string, string>} */
export const TOOL_WORDS = Object.fromEntries(TOOL_GROUPS.flatMap(([, tools]) => tools));

/** @type {Record<string, string>} */
export const FACE_WORDS = { outdoors: "Outdoors", garage: "In a garage", house: "In the house: no outlet there" };

/** @type {Record<string, string>} */
export const WAY_WORDS = { nose_in: "Nose in", nose_out: "Nose out" };

/** @type {Record<string, string>} */
export const CONSENT_KINDS = { landlord: "Landlord", freeholder: "Freeholder", insurer: "Insurer", highway: "Highway authority" };

/** @type {Record<string, string>} */
export const CONSENT_ANSWERS = { yes: "Yes", no: "No", not_needed: "Not needed", not_known: "Not known" };

/** @type {Record<string, string>} */
export const WITHIN_WORDS = { passes: "within the limit", fails: "above the limit", not_known: "not known" };

/** @type {Partial<Record<Tool, [string, string]>>} */
const TAPS = {
  wall: ["where the wall starts", "where the wall ends"],
  place: ["the middle of the side where the car drives in", "the middle of the far side"],
  door: ["one side of the door, on its wall", "the other side of the door"],
  window: ["one side of the window, on its wall", "the other side of the window"],
  stretch: ["where that part of the wall begins", "where it ends"],
};

/**
 * What to tap next.
 * @param {Tool} tool
 * @param {boolean} hasStart
 * @param {boolean} isPoint
 */
export function tapWords(tool, hasStart, isPoint) {
  if (isPoint) return `${TOOL_WORDS[tool]}: tap where it is.`;
  const [first, second] = TAPS[tool] ?? ["one corner", "the opposite corner"];
  return `${TOOL_WORDS[tool]}: tap ${hasStart ? second : first}.`;
}

/**
 * @param {number} metres
 */
export function metresWords(metres) {
  return `${metres.toFixed(1)} m`;
}

/**
 * Where a position is, for somebody with a tape measure.
 * @param {Position} position
 */
export function positionWords({ wall, offset_m: offset, side, face }) {
  const place = face === "garage" ? "in the garage" : "outdoors";
  return `Wall ${wall + 1}, ${offset.toFixed(2)} m from where it starts, on its ${side} side, ${place}`;
}

/**
 * One row for each car, place and way, those reckoned with first.
 * @param {Position} position
 * @returns {{ key: string, car: string, place: string, way: string, needed: string, cable: string, answer: string, isReached: boolean }[]}
 */
export function reachRows({ reaches }) {
  const ordered = [...reaches].sort((left, right) => Number(right.is_usual) - Number(left.is_usual));
  return ordered.map((reach) => ({
    key: `${reach.car_id}-${reach.place}-${reach.way}`,
    car: reach.car_label,
    place: reach.place_label + (reach.is_usual ? "" : " (instead)"),
    way: WAY_WORDS[reach.way],
    needed: reach.needed_m === null ? "further than any cable here" : metresWords(reach.needed_m),
    cable: metresWords(reach.cable_m),
    answer: reach.is_reached ? "Reaches" + (reach.passes.length > 0 ? `, lying across ${reach.passes.join(" and ")}` : "") : "Does not reach",
    isReached: reach.is_reached,
  }));
}

/** @type {Record<string, string>} */
const LIST_WORDS = { walls: "Wall", stretches: "Part of a wall", openings: "Door or window", places: "Place", areas: "Ground", marks: "Thing" };

/**
 * The name of what a fault points at, as people know it.
 * @param {string} field such as "drawing.walls.0.end"
 */
export function driveFieldWords(field) {
  const [first, list, index] = field.split(".");
  if (first === "label") return "Name of the drawing";
  if (list && LIST_WORDS[list]) return index === undefined ? `${LIST_WORDS[list]}s` : `${LIST_WORDS[list]} ${Number(index) + 1}`;
  return list ? list.replace(/_m$/, "").replaceAll("_", " ") : "";
}
