/** Which cars must not charge at home now, why, and what to do about it: said before any charging time. */
import { isUsable } from "./plan_words.js";
import { datesInWords } from "./record_dates.js";

/** @typedef {import("../api/types.d.ts").Plan} Plan */
/** @typedef {import("../api/types.d.ts").PlanVehicle} PlanVehicle */
/** @typedef {import("../api/types.d.ts").Household} Household */

/**
 * Why a car must not charge.
 * @typedef {object} Bar
 * @property {PlanVehicle} vehicle
 * @property {string} what as a headline
 * @property {string} nextStep
 */

const NO_OUTLET_STEP = "Ask your scheme's administrator to record where this car is plugged in; until then charge elsewhere.";
const OTHER_STEP = "Look up what is missing or was stopped; until then charge elsewhere.";

/**
 * The lead that stops a car, if one is recorded for it and may not be used.
 * @param {PlanVehicle} vehicle
 * @param {Household} home
 */
function stoppedLead(vehicle, home) {
  const leadId = home.vehicles.find(({ id }) => id === vehicle.vehicle_id)?.lead_id;
  return home.lead_clearances.find((lead) => lead.lead_id === leadId && !isUsable(lead.clearance));
}

/**
 * What stops one car, or null. Without the home's standing only what the plan itself says is known.
 * @param {PlanVehicle} vehicle
 * @param {Household | null} home
 * @returns {Bar | null}
 */
function barOf(vehicle, home) {
  if (vehicle.outlet_id === null) return { vehicle, what: `No outlet is known for ${vehicle.label}`, nextStep: NO_OUTLET_STEP };
  const what = `Do not charge at the ${vehicle.outlet_label ?? "outlet"}`;
  const outlet = home?.clearances.find((clearance) => clearance.outlet_id === vehicle.outlet_id);
  if (outlet && !isUsable(outlet.clearance)) return { vehicle, what, nextStep: datesInWords(outlet.next_step) };
  const short = vehicle.shortfalls.find(({ cause }) => cause === "no_usable_outlet");
  if (vehicle.limit_a !== null && !(short && !outlet)) return null;
  const lead = home && stoppedLead(vehicle, home);
  if (lead) return { vehicle, what: `Do not charge with the ${lead.lead_label}`, nextStep: datesInWords(lead.next_step) };
  const reason = outlet ? `The current for ${vehicle.label} is not known` : what;
  return { vehicle, what: reason, nextStep: short?.next_step ?? OTHER_STEP };
}

/**
 * The cars that must not charge.
 * @param {Plan} plan
 * @param {Household | null} home null while its standing could not be read
 * @returns {Bar[]}
 */
export function barsOf(plan, home) {
  return plan.vehicles.map((vehicle) => barOf(vehicle, home)).filter((bar) => bar !== null);
}

/**
 * The headline over bars: the one reason where there is one, else that nothing here may be used.
 * @param {Bar[]} bars at least one
 * @param {Plan} plan
 * @param {Household | null} home
 * @returns {{ main: string, below: string[] }}
 */
export function barWords(bars, plan, home) {
  const reasons = [...new Map(bars.map((bar) => [bar.what, bar])).values()];
  const isWhole = bars.length === plan.vehicles.length;
  const outlets = home?.clearances ?? [];
  const isNothingCleared = home ? outlets.length !== 1 && !outlets.some(({ clearance }) => isUsable(clearance)) : isWhole && reasons.length > 1;
  if (isNothingCleared) {
    return { main: "No outlet here may be used yet", below: reasons.map(({ what, nextStep }) => `${what}. ${nextStep}`) };
  }
  if (reasons.length === 1) {
    const cars = isWhole ? "" : `${bars.map(({ vehicle }) => vehicle.label).join(", ")}: `;
    return { main: reasons[0].what, below: [`${cars}${reasons[0].nextStep}`] };
  }
  return { main: reasons[0].what, below: [reasons[0].nextStep, ...reasons.slice(1).map(({ what, nextStep }) => `${what}. ${nextStep}`)] };
}
