/** The book of figures put in words: how sure one is, until when it holds, and which rows a search finds. */
import { formatPounds } from "./money.js";
import { formatShortDate } from "./record_dates.js";

/** @typedef {import("../api/figure_types.d.ts").DatedFigure} DatedFigure */
/** @typedef {import("../api/figure_types.d.ts").UnknownFigure} UnknownFigure */
/** @typedef {import("../api/figure_types.d.ts").FigureBook} FigureBook */
/** @typedef {{ subject: string, known: DatedFigure[], unknown: UnknownFigure[] }} Subject */

const NUMBER = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 6 });

/** @type {Record<import("../api/figure_types.d.ts").FigureStanding, string>} */
export const STANDING_WORDS = {
  published: "Published",
  two_sources: "Sources agree",
  from_memory: "From memory",
  assumed: "Assumed",
  operator: "Recorded by the operator",
};

/**
 * A figure with its unit: "15 pence per mile"; money in pounds.
 * @param {Pick<DatedFigure, "value" | "unit">} figure
 * @returns {string}
 */
export function valueWords({ value, unit }) {
  return unit === "pence" ? formatPounds(value) : `${NUMBER.format(Number(value))} ${unit}`;
}

/**
 * Until when it holds: "until 1 Sep 2026, then not known".
 * @param {string | null} untilOn
 * @returns {string}
 */
export function untilWords(untilOn) {
  return untilOn === null ? "until a later one" : `to before ${formatShortDate(untilOn)}`;
}

/**
 * Since when it is not known: "not known from 1 Sep 2026".
 * @param {string | null} sinceOn
 * @returns {string}
 */
export function unknownWords(sinceOn) {
  return sinceOn === null ? "never known so far" : `not known from ${formatShortDate(sinceOn)}`;
}

/**
 * Does a row hold every word of a search?
 * @param {DatedFigure | UnknownFigure} row
 * @param {string} search
 * @returns {boolean}
 */
function matches(row, search) {
  const more = "source" in row ? `${row.source} ${STANDING_WORDS[row.standing]} ${row.unit}` : "not known";
  const text = `${row.subject} ${row.label} ${row.name.replaceAll("_", " ")} ${more}`.toLowerCase();
  return search.toLowerCase().split(/\s+/).every((word) => text.includes(word));
}

/**
 * The book by subject, only with what a search finds; subjects in the book's order.
 * @param {FigureBook} book
 * @param {string} search
 * @returns {Subject[]}
 */
export function bySubject(book, search) {
  /** @type {Map<string, Subject>} */
  const found = new Map();
  const of = (/** @type {string} */ subject) => {
    const there = found.get(subject) ?? { subject, known: [], unknown: [] };
    found.set(subject, there);
    return there;
  };
  const order = (/** @type {Subject} */ { subject }) => book.subjects.indexOf(subject);
  for (const row of book.items) if (matches(row, search)) of(row.subject).known.push(row);
  for (const row of book.not_known) if (matches(row, search)) of(row.subject).unknown.push(row);
  return [...found.values()].sort((one, other) => order(one) - order(other));
}
