/** Where the electrician is on his page: which home, which outlet, which step; it all stands in the query. */

/** @typedef {{ visit: string, outlet: string, step: string }} Place */

/**
 * @param {string} url path and query
 * @returns {Place}
 */
export function placeOf(url) {
  const query = new URLSearchParams(url.split("?")[1] ?? "");
  return { visit: query.get("visit") ?? "", outlet: query.get("outlet") ?? "", step: query.get("step") ?? "" };
}

/**
 * @param {Partial<Place>} place
 * @returns {string}
 */
export function hrefOf({ visit = "", outlet = "", step = "" }) {
  const query = new URLSearchParams(Object.entries({ visit, outlet, step }).filter(([, value]) => value));
  const text = query.toString();
  return `/inspect${text && `?${text}`}`;
}
