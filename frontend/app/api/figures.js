/** The book of dated figures: rates, typical use, emission factors, prices of work. */
import { get } from "./client.js";

/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * Without a day the whole book comes, with what is not known today.
 * @param {{ on?: string }} query
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<Answer<import("./figure_types.d.ts").FigureBook>>}
 */
export function listFigures(query, reading) {
  return get("/figures", { ...reading, query });
}
