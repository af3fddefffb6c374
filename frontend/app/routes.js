/** The table of pages: an address, whose page it is, and how to fetch it. The first match counts. */

/** @typedef {import("./lib/route_match.js").Route} Route */

/** @type {Route[]} */
export const routes = [
  { path: "/sign-in", role: null, load: () => import("./pages/accounts/sign_in.js").then((page) => page.SignInPage) },

  { path: "/today", role: "member", load: () => import("./pages/planning/today.js").then((page) => page.TodayPage) },
  { path: "/week", role: "member", load: () => import("./pages/planning/week.js").then((page) => page.WeekPage) },
  { path: "/working", role: "member", load: () => import("./pages/planning/working.js").then((page) => page.WorkingPage) },
  { path: "/cars", role: "member", load: () => import("./pages/households/cars.js").then((page) => page.CarsPage) },
  { path: "/cars/:vehicleId", role: "member", load: () => import("./pages/households/car.js").then((page) => page.CarPage) },
  { path: "/outlets", role: "member", load: () => import("./pages/safety/outlets.js").then((page) => page.OutletsPage) },

  { path: "/households", role: "administrator", load: () => import("./pages/households/households.js").then((page) => page.HouseholdsPage) },
  { path: "/households/new", role: "administrator", load: () => import("./pages/households/new_household.js").then((page) => page.NewHouseholdPage) },
  { path: "/households/:householdId", role: "administrator", load: () => import("./pages/households/household.js").then((page) => page.HouseholdPage) },
  { path: "/tariffs", role: "administrator", load: () => import("./pages/tariffs/tariffs.js").then((page) => page.TariffsPage) },
  { path: "/tariffs/:tariffId", role: "administrator", load: () => import("./pages/tariffs/tariff.js").then((page) => page.TariffPage) },
  { path: "/tariffs/:tariffId/new", role: "administrator", load: () => import("./pages/tariffs/new_version.js").then((page) => page.NewVersionPage) },
  { path: "/tariffs/:tariffId/:versionId", role: "administrator", load: () => import("./pages/tariffs/version.js").then((page) => page.VersionPage) },
  { path: "/runs", role: "administrator", load: () => import("./pages/planning/runs.js").then((page) => page.RunsPage) },
  { path: "/mail", role: "administrator", load: () => import("./pages/reminders/mail.js").then((page) => page.MailPage) },
];
