/** What a member can do next about an outlet or lead that may not be used, from what is missing. */
import { isUsable } from "./plan_words.js";

/** @typedef {"extension" | "ask_visit" | "first_charge" | "check" | "survey"} StepKind */
/** @typedef {{ kind: StepKind, label: string, href: string }} NextStep */

const ASKS_FOR_VISIT = ["stop_lifted", "inspection", "reason", "answers"];
const WAITS = ["acceptance", "document", "readings"];

/**
 * Where an extension lead alone stops it, taking that out of use is all there is to do.
 * @param {import("../api/types.d.ts").ClearanceWord} clearance
 * @param {string[]} needs
 */
function asksForVisit(clearance, needs) {
  return needs.some((need) => ASKS_FOR_VISIT.includes(need)) || (clearance === "do_not_use" && !needs.includes("extension_ended"));
}

/**
 * The steps for an outlet, the one to do first at the front.
 * @param {{ outlet_id: string, clearance: import("../api/types.d.ts").ClearanceWord, needs?: string[] }} outlet
 * @returns {NextStep[]}
 */
export function outletSteps({ outlet_id: id, clearance, needs = [] }) {
  const check = { kind: /** @type {StepKind} */ ("check"), label: "Do the check", href: `/check?outlet=${id}` };
  if (isUsable(clearance)) return [check];
  /** @type {NextStep[]} */
  const steps = [];
  if (needs.includes("extension_ended")) steps.push({ kind: "extension", label: "See the extension lead", href: "#extension-leads" });
  if (asksForVisit(clearance, needs)) {
    steps.push({ kind: "ask_visit", label: "Ask for an inspection", href: "#visits" });
  }
  const isHeld = steps.length > 0 || needs.some((need) => WAITS.includes(need));
  if (!isHeld && needs.includes("supervised_charge")) steps.push({ kind: "first_charge", label: "Do the first charge", href: `/first-charge?outlet=${id}` });
  if (!isHeld && needs.includes("check") && !needs.includes("supervised_charge")) steps.push(check);
  if (needs.includes("inspection")) steps.push({ kind: "survey", label: "Answer the home survey", href: "/survey" });
  return steps;
}

/**
 * The steps for a lead; a stopped one is tested or replaced by the scheme.
 * @param {{ lead_id: string, clearance: import("../api/types.d.ts").ClearanceWord, needs?: string[] }} lead
 * @returns {NextStep[]}
 */
export function leadSteps({ lead_id: id, clearance, needs = [] }) {
  if (clearance === "do_not_use" || needs.includes("stop_lifted")) return [];
  return [{ kind: "check", label: "Do the check", href: `/check?lead=${id}` }];
}

/**
 * The one step that Today leads to: of the first outlet in use that may not be used, else of a lead.
 * @param {import("../api/types.d.ts").Household | null} home
 * @returns {{ label: string, href: string }}
 */
export function firstStep(home) {
  const outlets = home?.clearances ?? [];
  const used = outlets.filter(({ outlet_id: id }) => home?.vehicles.some((vehicle) => vehicle.outlet_id === id));
  const stopped = (used.length > 0 ? used : outlets).find(({ clearance }) => !isUsable(clearance));
  const lead = (home?.lead_clearances ?? []).find(({ lead_id: id, clearance }) =>
    !isUsable(clearance) && home?.vehicles.some((vehicle) => vehicle.lead_id === id));
  const step = stopped ? outletSteps(stopped)[0] : lead && leadSteps(lead)[0];
  if (!step) return { label: "See what is missing", href: "/outlets" };
  return { label: step.label, href: step.href.startsWith("#") ? "/outlets" : step.href };
}
