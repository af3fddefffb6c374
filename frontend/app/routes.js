/** The table of pages: an address, whose page it is, and how to fetch it. The first match counts. */

/** @typedef {import("./lib/route_match.js").Route} Route */

/** @type {Route[]} */
export const routes = [
  { path: "/sign-in", role: null, isBasic: true, load: () => import("./pages/accounts/sign_in.js").then((page) => page.SignInPage) },
  { path: "/inspect", role: null, isOpen: true, load: () => import("./pages/safety/electrician/inspect.js").then((page) => page.InspectPage) },

  { path: "/notices", role: null, load: () => import("./pages/reminders/notices.js").then((page) => page.NoticesPage) },
  { path: "/reminders", role: null, load: () => import("./pages/reminders/reminders.js").then((page) => page.RemindersPage) },

  { path: "/today", role: "member", isBasic: true, load: () => import("./pages/planning/today.js").then((page) => page.TodayPage) },
  { path: "/week", role: "member", isBasic: true, load: () => import("./pages/planning/week.js").then((page) => page.WeekPage) },
  { path: "/what-if", role: "member", load: () => import("./pages/planning/what_if.js").then((page) => page.WhatIfPage) },
  { path: "/working", role: "member", isBasic: true, load: () => import("./pages/planning/working.js").then((page) => page.WorkingPage) },
  { path: "/cars", role: "member", isBasic: true, load: () => import("./pages/households/cars.js").then((page) => page.CarsPage) },
  { path: "/cars/:vehicleId/diary", role: "member", load: () => import("./pages/households/diary.js").then((page) => page.DiaryPage) },
  { path: "/habits", role: "member", load: () => import("./pages/households/habits.js").then((page) => page.HabitsPage) },
  { path: "/cars/:vehicleId", role: "member", load: () => import("./pages/households/car.js").then((page) => page.CarPage) },
  { path: "/safety-file", role: "member", load: () => import("./pages/reporting/safety_file.js").then((page) => page.OwnSafetyPage) },
  { path: "/check", role: "member", load: () => import("./pages/safety/check.js").then((page) => page.CheckPage) },
  { path: "/first-charge", role: "member", load: () => import("./pages/safety/first_charge.js").then((page) => page.FirstChargePage) },
  { path: "/incident", role: "member", load: () => import("./pages/safety/incident.js").then((page) => page.IncidentPage) },
  { path: "/stop-answer", role: "member", load: () => import("./pages/safety/stop_answer_page.js").then((page) => page.StopAnswerPage) },
  { path: "/reports", role: "member", load: () => import("./pages/safety/withdrawal/reports.js").then((page) => page.OwnReportsPage) },
  { path: "/survey", role: "member", load: () => import("./pages/safety/survey/survey.js").then((page) => page.SurveyPage) },
  { path: "/outlets", role: "member", load: () => import("./pages/safety/outlets.js").then((page) => page.OutletsPage) },

  { path: "/households", role: "administrator", isBasic: true, load: () => import("./pages/households/households.js").then((page) => page.HouseholdsPage) },
  { path: "/households/new", role: "administrator", load: () => import("./pages/households/new_household.js").then((page) => page.NewHouseholdPage) },
  { path: "/households/:householdId", role: "administrator", load: () => import("./pages/households/household.js").then((page) => page.HouseholdPage) },
  { path: "/households/:householdId/safety", role: "administrator", load: () => import("./pages/reporting/safety_file.js").then((page) => page.HomeSafetyPage) },
  { path: "/households/:householdId/reports", role: "administrator", load: () => import("./pages/safety/withdrawal/reports.js").then((page) => page.HomeReportsPage) },
  { path: "/households/:householdId/overrides", role: "administrator", load: () => import("./pages/safety/overrides/overrides.js").then((page) => page.OverridesPage) },
  { path: "/safety", role: "administrator", load: () => import("./pages/reporting/safety_desk.js").then((page) => page.SafetyDeskPage) },
  { path: "/tariffs", role: "administrator", load: () => import("./pages/tariffs/tariffs.js").then((page) => page.TariffsPage) },
  { path: "/tariffs/:tariffId", role: "administrator", load: () => import("./pages/tariffs/tariff.js").then((page) => page.TariffPage) },
  { path: "/tariffs/:tariffId/new", role: "administrator", load: () => import("./pages/tariffs/new_version.js").then((page) => page.NewVersionPage) },
  { path: "/tariffs/:tariffId/:versionId", role: "administrator", load: () => import("./pages/tariffs/version.js").then((page) => page.VersionPage) },
  { path: "/runs", role: "administrator", isBasic: true, load: () => import("./pages/planning/runs.js").then((page) => page.RunsPage) },
  { path: "/visits", role: "administrator", load: () => import("./pages/safety/visits/visits.js").then((page) => page.VisitsPage) },
  { path: "/visits/:visitId", role: "administrator", load: () => import("./pages/safety/visits/visit.js").then((page) => page.VisitPage) },
  { path: "/electricians", role: "administrator", load: () => import("./pages/safety/visits/electricians.js").then((page) => page.ElectriciansPage) },
  { path: "/inspections", role: "administrator", load: () => import("./pages/safety/visits/to_accept.js").then((page) => page.InspectionsPage) },
  { path: "/duty", role: "administrator", load: () => import("./pages/reminders/duty.js").then((page) => page.DutyPage) },
  { path: "/mail", role: "administrator", isBasic: true, load: () => import("./pages/reminders/mail.js").then((page) => page.MailPage) },
];
