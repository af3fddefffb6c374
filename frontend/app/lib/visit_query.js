/** The list of visits as it stands in the address: what is filtered, in which order, which page. */

/** links: the page of the links that were sent. @typedef {{ state: string, area: string, sort: string, page: number, links: number }} VisitQuery */

export const PAGE_SIZE = 50;

export const VISIT_SORTS = [
  { value: "risk", label: "Risk, highest first" },
  { value: "asked_at", label: "Asked for, longest ago first" },
  { value: "agreed_on", label: "Date agreed, soonest first" },
];

/**
 * Read the address.
 * @param {string} url path and query
 * @returns {VisitQuery}
 */
export function readVisitQuery(url) {
  const params = new URLSearchParams(url.split("?")[1] ?? "");
  const sort = params.get("sort") ?? "";
  const pageOf = (/** @type {string} */ name) => Math.max(1, Math.trunc(Number(params.get(name))) || 1);
  return {
    state: params.get("state") ?? "",
    area: params.get("area") ?? "",
    sort: VISIT_SORTS.some(({ value }) => value === sort) ? sort : "risk",
    page: pageOf("page"),
    links: pageOf("links"),
  };
}

/**
 * The address of a list; only what differs from the plain one stands in it.
 * @param {VisitQuery} query
 * @returns {string}
 */
export function visitsHref({ state, area, sort, page, links }) {
  const params = new URLSearchParams();
  if (state) params.set("state", state);
  if (area) params.set("area", area);
  if (sort !== "risk") params.set("sort", sort);
  if (page > 1) params.set("page", String(page));
  if (links > 1) params.set("links", String(links));
  const text = params.toString();
  return `/visits${text && `?${text}`}`;
}
