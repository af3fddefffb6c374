/** A drawing of the drive as it is put together, tap by tap: every change gives another drawing. */

/** @typedef {import("../api/drive_types.d.ts").Drawing} Drawing */
/** @typedef {import("../api/drive_types.d.ts").Spot} Spot */
/** @typedef {import("../api/drive_types.d.ts").Wall} Wall */
/** @typedef {"walls" | "stretches" | "openings" | "places" | "areas" | "marks"} ThingList */
/**
 * @typedef {"wall" | "door" | "window" | "stretch" | "place" | "path" | "footway" | "lawn" | "escape_route" | "strike"
 *   | "gas_meter" | "tank" | "metalwork" | "consumer_unit"} Tool
 */

/** Tools that want one tap; the others want a start and an end. @type {ReadonlySet<Tool>} */
export const POINT_TOOLS = new Set(/** @type {Tool[]} */ (["gas_meter", "tank", "metalwork", "consumer_unit"]));
/** @type {ReadonlySet<string>} */
const AREA_TOOLS = new Set(["path", "footway", "lawn", "escape_route", "strike"]);
const WALL_TOOLS = new Set(["door", "window", "stretch"]);
/** A tap so near to the end of a wall means that end [m]. */
const CATCH_M = 0.45;
/** A door so far from every wall is on none of them [m]. */
const ON_WALL_M = 1.5;

/** @returns {Drawing} */
export function emptyDrawing() {
  return {
    width_m: 14, depth_m: 12, walls: [], stretches: [], openings: [], places: [], areas: [], marks: [], consumer_unit: null,
    outlet_height_m: 1, cable_m: null, car_length_m: 4.5, car_width_m: 1.9,
  };
}

/**
 * A number by whole tenths.
 * @param {number} value
 */
export function tenth(value) {
  return Math.round(value * 10) / 10;
}

/**
 * @param {Spot} one
 * @param {Spot} other
 */
export function gapOf(one, other) {
  return Math.hypot(one[0] - other[0], one[1] - other[1]);
}

/**
 * Where a tap is meant to be: on the grid, inside the drawing, and at the end of a wall where one is near.
 * @param {Drawing} drawing
 * @param {Spot} spot
 * @param {number} step [m]
 * @returns {Spot}
 */
export function snapped(drawing, spot, step) {
  const ends = drawing.walls.flatMap(({ start, end }) => [start, end]).filter((end) => gapOf(end, spot) <= CATCH_M);
  ends.sort((left, right) => gapOf(left, spot) - gapOf(right, spot));
  if (ends[0]) return ends[0];
  const within = (/** @type {number} */ value, /** @type {number} */ most) => tenth(Math.min(Math.max(Math.round(value / step) * step, 0), most));
  return [within(spot[0], drawing.width_m), within(spot[1], drawing.depth_m)];
}

/**
 * The wall nearest to a point, and how far along it the nearest point is [m]; null where no wall is near.
 * @param {Drawing} drawing
 * @param {Spot} spot
 * @param {number} [only] ask about this wall alone
 * @returns {{ wall: number, offset_m: number } | null}
 */
export function onWall(drawing, spot, only) {
  /** @type {{ wall: number, offset_m: number, gap: number } | null} */
  let best = null;
  drawing.walls.forEach(({ start, end }, wall) => {
    const length = gapOf(start, end);
    if (length === 0 || (only !== undefined && wall !== only)) return;
    const along = ((spot[0] - start[0]) * (end[0] - start[0]) + (spot[1] - start[1]) * (end[1] - start[1])) / length;
    const offset = Math.min(Math.max(along, 0), length);
    const gap = gapOf(spot, [start[0] + (offset * (end[0] - start[0])) / length, start[1] + (offset * (end[1] - start[1])) / length]);
    if (!best || gap < best.gap) best = { wall, offset_m: Math.min(tenth(offset), Math.floor(length * 10) / 10), gap };
  });
  const found = /** @type {{ wall: number, offset_m: number, gap: number } | null} */ (best);
  if (!found || (only === undefined && found.gap > ON_WALL_M)) return null;
  return { wall: found.wall, offset_m: found.offset_m };
}

/**
 * What is added with a tool, or why nothing is.
 * @param {Drawing} drawing
 * @param {Tool} tool
 * @param {Spot} start
 * @param {Spot} end the start again where one tap is enough
 * @returns {{ drawing: Drawing, fault?: undefined } | { drawing?: undefined, fault: string }}
 */
export function withThing(drawing, tool, start, end) {
  if (tool === "consumer_unit") return { drawing: { ...drawing, consumer_unit: start } };
  if (POINT_TOOLS.has(tool)) return { drawing: { ...drawing, marks: [...drawing.marks, { kind: /** @type {any} */ (tool), at: start }] } };
  if (WALL_TOOLS.has(tool)) return withHanging(drawing, tool, start, end);
  if (AREA_TOOLS.has(tool)) return withArea(drawing, tool, start, end);
  if (gapOf(start, end) === 0) return { fault: "Start and end are the same point: tap further away." };
  if (tool === "wall") return { drawing: { ...drawing, walls: [...drawing.walls, { start, end, left: "outdoors", right: "outdoors" }] } };
  const length = gapOf(start, end);
  if (length < 3 || length > 10) return { fault: "A place for a car is 3 to 10 m long: tap where it drives in, then the far end." };
  return { drawing: { ...drawing, places: [...drawing.places, { label: `Place ${drawing.places.length + 1}`, start, end, width_m: 2.4 }] } };
}

/**
 * @param {Drawing} drawing
 * @param {string} tool
 * @param {Spot} start
 * @param {Spot} end
 */
function withHanging(drawing, tool, start, end) {
  const first = onWall(drawing, start);
  if (!first) return { fault: "There is no wall near: draw the wall first, then tap on it." };
  const last = /** @type {{ offset_m: number }} */ (onWall(drawing, end, first.wall));
  const part = { wall: first.wall, from_m: Math.min(first.offset_m, last.offset_m), to_m: Math.max(first.offset_m, last.offset_m) };
  if (part.from_m === part.to_m) return { fault: "Start and end are the same point of the wall: tap further along it." };
  if (tool === "stretch") return { drawing: { ...drawing, stretches: [...drawing.stretches, part] } };
  return { drawing: { ...drawing, openings: [...drawing.openings, { ...part, kind: /** @type {any} */ (tool) }] } };
}

/**
 * @param {Drawing} drawing
 * @param {string} kind
 * @param {Spot} start
 * @param {Spot} end
 */
function withArea(drawing, kind, start, end) {
  if (start[0] === end[0] || start[1] === end[1]) return { fault: "Tap two opposite corners of the ground." };
  /** @type {Spot[]} */
  const corners = [start, [end[0], start[1]], end, [start[0], end[1]]];
  return { drawing: { ...drawing, areas: [...drawing.areas, { kind: /** @type {any} */ (kind), corners }] } };
}

/**
 * The drawing without a thing; what hung on a wall goes with it.
 * @param {Drawing} drawing
 * @param {ThingList | "consumer_unit"} list
 * @param {number} index
 * @returns {Drawing}
 */
export function withoutThing(drawing, list, index) {
  if (list === "consumer_unit") return { ...drawing, consumer_unit: null };
  const rest = { ...drawing, [list]: drawing[list].filter((_, at) => at !== index) };
  if (list !== "walls") return rest;
  /**
   * @template {{ wall: number }} T
   * @param {T[]} hangings
   */
  const kept = (hangings) => hangings.filter(({ wall }) => wall !== index).map((each) => ({ ...each, wall: each.wall > index ? each.wall - 1 : each.wall }));
  return { ...rest, openings: kept(drawing.openings), stretches: kept(drawing.stretches) };
}

/**
 * The drawing with one value of one thing changed.
 * @param {Drawing} drawing
 * @param {ThingList | "consumer_unit"} list
 * @param {number} index
 * @param {(string | number)[]} path inside the thing, such as ["start", 0]
 * @param {string | number} value
 * @returns {Drawing}
 */
export function withValue(drawing, list, index, path, value) {
  if (list === "consumer_unit") return { ...drawing, consumer_unit: /** @type {Spot} */ (replaced(drawing.consumer_unit, path, value)) };
  return { ...drawing, [list]: drawing[list].map((thing, at) => (at === index ? replaced(thing, path, value) : thing)) };
}

/**
 * @param {any} whole
 * @param {(string | number)[]} path
 * @param {string | number} value
 * @returns {any}
 */
function replaced(whole, [name, ...rest], value) {
  const inner = rest.length > 0 ? replaced(whole[name], rest, value) : value;
  if (Array.isArray(whole)) return whole.map((each, at) => (at === name ? inner : each));
  return { ...whole, [name]: inner };
}
