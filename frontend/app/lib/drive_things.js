/** The things of a drawing as a list, each with its values as numbers and words: the way to draw without pointing. */
import { FACE_WORDS, TOOL_WORDS } from "./drive_words.js";

/** @typedef {import("../api/drive_types.d.ts").Drawing} Drawing */
/** @typedef {import("./drive_drawing.js").ThingList} ThingList */
/**
 * @typedef {object} ThingField
 * @property {(string | number)[]} path inside the thing
 * @property {string} label
 * @property {"number" | "text" | "select"} kind
 * @property {string | number} value
 * @property {{ value: string, label: string }[]} [options]
 */
/**
 * @typedef {object} Thing
 * @property {ThingList | "consumer_unit"} list
 * @property {number} index
 * @property {string} name
 * @property {string} words
 * @property {ThingField[]} fields
 */

const FACES = Object.entries(FACE_WORDS).map(([value, label]) => ({ value, label }));

/**
 * The two numbers of a point.
 * @param {(string | number)[]} path
 * @param {string} label
 * @param {number[]} spot
 * @returns {ThingField[]}
 */
function spotFields(path, label, spot) {
  return [
    { path: [...path, 0], label: `${label}, from the left`, kind: "number", value: spot[0] },
    { path: [...path, 1], label: `${label}, from the top`, kind: "number", value: spot[1] },
  ];
}

/**
 * @param {number[]} spot
 */
function at(spot) {
  return `${spot[0]} m from the left, ${spot[1]} m from the top`;
}

/**
 * What hangs on a wall.
 * @param {ThingList} list
 * @param {{ wall: number, from_m: number, to_m: number, kind?: string }[]} hangings
 * @returns {Thing[]}
 */
function hangingThings(list, hangings) {
  return hangings.map((each, index) => ({
    list, index, name: TOOL_WORDS[each.kind ?? "stretch"],
    words: `wall ${each.wall + 1}, ${each.from_m} to ${each.to_m} m along it`,
    fields: [
      { path: ["from_m"], label: "Begins along the wall", kind: "number", value: each.from_m },
      { path: ["to_m"], label: "Ends along the wall", kind: "number", value: each.to_m },
    ],
  }));
}

/**
 * @param {Drawing} drawing
 * @returns {Thing[]}
 */
function wallThings(drawing) {
  return drawing.walls.map((wall, index) => ({
    list: "walls", index, name: `Wall ${index + 1}`, words: `from ${at(wall.start)}; to ${at(wall.end)}`,
    fields: [
      ...spotFields(["start"], "Start", wall.start), ...spotFields(["end"], "End", wall.end),
      { path: ["left"], label: "On its left, walking from start to end", kind: "select", value: wall.left, options: FACES },
      { path: ["right"], label: "On its right", kind: "select", value: wall.right, options: FACES },
    ],
  }));
}

/**
 * @param {Drawing} drawing
 * @returns {Thing[]}
 */
function placeThings(drawing) {
  return drawing.places.map((place, index) => ({
    list: "places", index, name: place.label || `Place ${index + 1}`, words: `drives in ${at(place.start)}; far end ${at(place.end)}`,
    fields: [
      { path: ["label"], label: "Name", kind: "text", value: place.label },
      ...spotFields(["start"], "Drives in", place.start), ...spotFields(["end"], "Far end", place.end),
      { path: ["width_m"], label: "Width", kind: "number", value: place.width_m },
    ],
  }));
}

/**
 * Everything that is drawn.
 * @param {Drawing} drawing
 * @returns {Thing[]}
 */
export function thingsOf(drawing) {
  const unit = drawing.consumer_unit;
  return [
    ...wallThings(drawing),
    ...hangingThings("openings", drawing.openings),
    ...hangingThings("stretches", drawing.stretches),
    ...placeThings(drawing),
    ...drawing.areas.map((area, index) => /** @type {Thing} */ ({
      list: "areas", index, name: TOOL_WORDS[area.kind], words: `${area.corners.length} corners, the first ${at(area.corners[0])}`,
      fields: area.corners.flatMap((corner, number) => spotFields(["corners", number], `Corner ${number + 1}`, corner)),
    })),
    ...drawing.marks.map((mark, index) => /** @type {Thing} */ ({
      list: "marks", index, name: TOOL_WORDS[mark.kind], words: at(mark.at), fields: spotFields(["at"], "It is", mark.at),
    })),
    ...(unit ? [/** @type {Thing} */ ({
      list: "consumer_unit", index: 0, name: TOOL_WORDS.consumer_unit, words: at(unit), fields: spotFields([], "It is", unit),
    })] : []),
  ];
}
