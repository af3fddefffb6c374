/** Which page an address means, and whether the signed-in person may open it. */

/** @typedef {import("../api/types.d.ts").Session} Session */
/** @typedef {import("../api/types.d.ts").Role} Role */

/**
 * @typedef {object} Route
 * @property {string} path with ":name" for a part that varies
 * @property {Role | Role[] | null} role whose page it is (any one of a list); null for anyone signed in or not
 * @property {boolean} [isOpen] shown to people who have not signed in, and never a page to be sent away from
 * @property {boolean} [isBasic] does without the style sheets of more.css
 * @property {() => Promise<import("preact").ComponentType<any>>} load
 */

/**
 * Find the route of a path, with its parameters.
 * @template {{ path: string }} R
 * @param {R[]} routes
 * @param {string} path
 * @returns {{ route: R, params: Record<string, string> } | null}
 */
export function matchRoute(routes, path) {
  const parts = path.split("/").filter(Boolean);
  for (const route of routes) {
    const pattern = route.path.split("/").filter(Boolean);
    if (pattern.length !== parts.length) continue;
    /** @type {Record<string, string>} */
    const params = {};
    const isMatch = pattern.every((wanted, index) => {
      if (!wanted.startsWith(":")) return wanted === parts[index];
      params[wanted.slice(1)] = decodeURIComponent(parts[index]);
      return true;
    });
    if (isMatch) return { route, params };
  }
  return null;
}

/**
 * The page a person starts from.
 * @param {Session} session
 * @returns {string}
 */
export function homePath(session) {
  if (session.roles.includes("administrator")) return "/households";
  return session.roles.includes("member") ? "/today" : "/claims";
}

/**
 * Where to send a person who may not, or need not, see a path; null to stay.
 * @param {Route | null} route
 * @param {Session | null} session
 * @param {string} url path and query asked for
 * @returns {string | null}
 */
export function redirectFor(route, session, url) {
  const [path, query] = url.split("?");
  if (route?.isOpen) return null;
  if (!session) return path === "/sign-in" ? null : `/sign-in${path === "/" ? "" : `?next=${encodeURIComponent(url)}`}`;
  if (path === "/sign-in") return ownPath(new URLSearchParams(query).get("next")) ?? homePath(session);
  if (path === "/") return homePath(session);
  if (route?.role && ![route.role].flat().some((role) => session.roles.includes(role))) return homePath(session);
  return null;
}

/**
 * An address asked for before signing in: only a path of our own counts, never another site.
 * @param {string | null} next
 * @returns {string | null}
 */
export function ownPath(next) {
  return next && /^\/(?![/\\])/.test(next) && !next.startsWith("/sign-in") ? next : null;
}
