/** The pages where visits begin, by typing or from an e-mail; more_routes.js has the others, fetched when one is asked for. */

/** @typedef {import("./lib/route_match.js").Route} Route */

/** @type {Route[]} */
export const entrances = [
  { path: "/sign-in", role: null, isBasic: true, load: () => import("./pages/accounts/sign_in.js").then((page) => page.SignInPage) },
  { path: "/inspect", role: null, isOpen: true, load: () => import("./pages/safety/electrician/inspect.js").then((page) => page.InspectPage) },
  { path: "/today", role: "member", isBasic: true, load: () => import("./pages/planning/today.js").then((page) => page.TodayPage) },
  { path: "/week", role: "member", isBasic: true, load: () => import("./pages/planning/week.js").then((page) => page.WeekPage) },
  { path: "/check", role: "member", load: () => import("./pages/safety/check.js").then((page) => page.CheckPage) },
  { path: "/outlets", role: "member", load: () => import("./pages/safety/outlets.js").then((page) => page.OutletsPage) },
  { path: "/households", role: "administrator", isBasic: true, load: () => import("./pages/households/households.js").then((page) => page.HouseholdsPage) },
  { path: "/safety", role: "administrator", load: () => import("./pages/reporting/safety_desk.js").then((page) => page.SafetyDeskPage) },
  // Opened where there may be no connection any more: it must not have to fetch the whole table first.
  { path: "/stop-answer", role: "member", load: () => import("./pages/safety/stop_answer_page.js").then((page) => page.StopAnswerPage) },
];
