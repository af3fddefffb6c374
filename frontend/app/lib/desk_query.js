/** The safety desk's filters, sort and page, as they stand in the address; and its words. */

/**
 * @typedef {object} DeskQuery
 * @property {string} clearance
 * @property {string} overdue "true" or ""
 * @property {string} missing
 * @property {string} told
 * @property {string} area
 * @property {string} sort
 * @property {number} page
 */

export const PAGE_SIZE = 50;
const USUAL_SORT = "clearance";

export const SORTS = [
  { value: "clearance", label: "Clearance, worst first" },
  { value: "-clearance", label: "Clearance, best first" },
  { value: "reference", label: "Reference" },
  { value: "-reference", label: "Reference, last first" },
  { value: "-since", label: "Standing, newest first" },
  { value: "since", label: "Standing, oldest first" },
  { value: "next_recheck_on", label: "Next recheck, soonest first" },
  { value: "-next_recheck_on", label: "Next recheck, latest first" },
  { value: "-overdue", label: "Most overdue first" },
  { value: "overdue", label: "Least overdue first" },
  { value: "-told_at", label: "Told, newest first" },
  { value: "told_at", label: "Told, oldest first" },
  { value: "last_inspection_on", label: "Inspected longest ago first" },
  { value: "-last_inspection_on", label: "Inspected last first" },
  { value: "last_check_at", label: "Checked longest ago first" },
  { value: "-last_check_at", label: "Checked last first" },
];

export const MISSING_WORDS = {
  inspection: "An accepted inspection",
  document: "An inspection's document",
  acceptance: "A decision on an inspection",
  check: "A clear check",
  survey: "The home survey",
};

export const TOLD_WORDS = { nobody: "Nobody was told", unread: "A notice is unread", read: "All notices are read" };

const TEXT_KEYS = /** @type {const} */ (["clearance", "overdue", "missing", "told", "area"]);

/**
 * Read the address.
 * @param {URLSearchParams} params
 * @returns {DeskQuery}
 */
export function readDeskQuery(params) {
  const one = (/** @type {string} */ name, /** @type {Record<string, string>} */ words) => {
    const value = params.get(name) ?? "";
    return value in words ? value : "";
  };
  const sort = params.get("sort") ?? "";
  return {
    clearance: params.get("clearance") ?? "",
    overdue: params.get("overdue") === "true" ? "true" : "",
    missing: one("missing", MISSING_WORDS),
    told: one("told", TOLD_WORDS),
    area: (params.get("area") ?? "").slice(0, 8),
    sort: SORTS.some(({ value }) => value === sort) ? sort : USUAL_SORT,
    page: Math.max(1, Math.trunc(Number(params.get("page"))) || 1),
  };
}

/**
 * Only the filters that are set, as the service takes them.
 * @param {DeskQuery} query
 * @returns {Record<string, string>}
 */
export function filtersOf(query) {
  return Object.fromEntries(TEXT_KEYS.filter((key) => query[key] !== "").map((key) => [key, query[key]]));
}

/**
 * The filters as a body names them: null where one is not set.
 * @param {DeskQuery} query
 * @returns {NonNullable<import("../api/types.d.ts").ChosenHomes["all_matching"]>}
 */
export function filterBody({ clearance, overdue, missing, told, area }) {
  return { clearance: clearance || null, overdue: overdue === "true" || null, missing: missing || null, told: told || null, area: area || null };
}

/**
 * Write the address: only what differs from the plain desk.
 * @param {DeskQuery} query
 * @returns {string} "" or "?…"
 */
export function writeDeskQuery(query) {
  const params = new URLSearchParams(filtersOf(query));
  if (query.sort !== USUAL_SORT) params.set("sort", query.sort);
  if (query.page > 1) params.set("page", String(query.page));
  const text = params.toString();
  return text && `?${text}`;
}

/**
 * A query with one thing changed; every change but that of the page goes back to the first page.
 * @param {DeskQuery} query
 * @param {Partial<DeskQuery>} change
 * @returns {DeskQuery}
 */
export function changedDesk(query, change) {
  return { ...query, page: 1, ...change };
}

/**
 * Is anything filtered?
 * @param {DeskQuery} query
 * @returns {boolean}
 */
export function isDeskFiltered(query) {
  return Object.keys(filtersOf(query)).length > 0;
}

/**
 * How long until a date: "in 3 days", "today", "4 days late".
 * @param {number} days
 * @returns {string}
 */
export function daysWords(days) {
  const count = Math.abs(days) === 1 ? "1 day" : `${Math.abs(days)} days`;
  if (days === 0) return "today";
  return days > 0 ? `in ${count}` : `${count} late`;
}
