/** The household list's filters, sort and page, as they stand in the address. */

/**
 * @typedef {object} HouseholdQuery
 * @property {string} search
 * @property {string} clearance
 * @property {string} tariff_id
 * @property {string} shortfall "true" or ""
 * @property {string} overdue "true" or ""
 * @property {string} sort
 * @property {number} page
 */

export const PAGE_SIZE = 50;

export const SORTS = [
  { value: "reference", label: "Reference" },
  { value: "-reference", label: "Reference, last first" },
  { value: "member_name", label: "Member's name" },
  { value: "-member_name", label: "Member's name, last first" },
  { value: "clearance", label: "Clearance" },
  { value: "-clearance", label: "Clearance, other way round" },
  { value: "next_recheck_on", label: "Next recheck, soonest first" },
  { value: "-next_recheck_on", label: "Next recheck, latest first" },
  { value: "-week_cost", label: "Week's cost, dearest first" },
  { value: "week_cost", label: "Week's cost, cheapest first" },
  { value: "-week_short", label: "Shortfall, largest first" },
  { value: "week_short", label: "Shortfall, smallest first" },
];

const TEXT_KEYS = /** @type {const} */ (["search", "clearance", "tariff_id", "shortfall", "overdue"]);

/**
 * Read the address.
 * @param {URLSearchParams} params
 * @returns {HouseholdQuery}
 */
export function readHouseholdQuery(params) {
  const sort = params.get("sort") ?? "";
  return {
    search: params.get("search") ?? "",
    clearance: params.get("clearance") ?? "",
    tariff_id: params.get("tariff_id") ?? "",
    shortfall: params.get("shortfall") === "true" ? "true" : "",
    overdue: params.get("overdue") === "true" ? "true" : "",
    sort: SORTS.some(({ value }) => value === sort) ? sort : "reference",
    page: Math.max(1, Math.trunc(Number(params.get("page"))) || 1),
  };
}

/**
 * Write the address: only what differs from the plain list.
 * @param {HouseholdQuery} query
 * @returns {string} "" or "?…"
 */
export function writeHouseholdQuery(query) {
  const params = new URLSearchParams();
  for (const key of TEXT_KEYS) if (query[key]) params.set(key, query[key]);
  if (query.sort !== "reference") params.set("sort", query.sort);
  if (query.page > 1) params.set("page", String(query.page));
  const text = params.toString();
  return text && `?${text}`;
}

/**
 * A query with one thing changed; every change but that of the page goes back to the first page.
 * @param {HouseholdQuery} query
 * @param {Partial<HouseholdQuery>} change
 * @returns {HouseholdQuery}
 */
export function changedQuery(query, change) {
  return { ...query, page: 1, ...change };
}

/**
 * Is anything filtered?
 * @param {HouseholdQuery} query
 * @returns {boolean}
 */
export function isFiltered(query) {
  return TEXT_KEYS.some((key) => query[key] !== "");
}

/**
 * The sums of the homes in view; an amount that is not known is left out and counted.
 * @param {import("../api/types.d.ts").HouseholdRow[]} rows
 * @returns {{ energyKwh: number, costPence: string, onArrivalPence: string, shortKwh: number, unknownCount: number }}
 */
export function sumRows(rows) {
  const sum = { energyKwh: 0, cost: 0, onArrival: 0, shortKwh: 0, unknownCount: 0 };
  for (const row of rows) {
    if (row.week_cost_pence === null || row.week_on_arrival_cost_pence === null) {
      sum.unknownCount += 1;
    } else {
      sum.cost += Number(row.week_cost_pence);
      sum.onArrival += Number(row.week_on_arrival_cost_pence);
    }
    sum.energyKwh += row.week_energy_kwh ?? 0;
    sum.shortKwh += row.week_short_kwh ?? 0;
  }
  const { energyKwh, shortKwh, unknownCount } = sum;
  return { energyKwh, costPence: String(sum.cost), onArrivalPence: String(sum.onArrival), shortKwh, unknownCount };
}
