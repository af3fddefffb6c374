/** The supervised first charge: which step is due, what its button says, at what current it may run. */
import { formatTime, ms } from "./time.js";

/** @typedef {import("../api/check_types.d.ts").SupervisedCharge} SupervisedCharge */

const MINUTE_MS = 60_000;
export const SUPERVISED_MAX_A = 10;
const CURRENTS_A = [6, 7, 8, 9, 10];

export const FEEL_WORDS = {
  cool: "Cool",
  noticeable: "Just noticeably warm",
  warm: "Warmer than just noticeable, but I can hold it",
  too_hot: "Too hot to hold",
};

/**
 * Is it under way?
 * @param {SupervisedCharge} charge
 */
export function isUnderWay(charge) {
  return charge.state === "first_to_come" || charge.state === "later_to_come";
}

/**
 * How a step stands at an instant.
 * @param {SupervisedCharge} charge
 * @param {"first" | "later"} step
 * @param {number} nowMs
 * @returns {"done" | "due" | "wait"}
 */
export function stepState(charge, step, nowMs) {
  const feltAt = step === "first" ? charge.first_felt_at : charge.later_felt_at;
  if (feltAt) return "done";
  if (step === "later" && !charge.first_felt_at) return "wait";
  return nowMs >= ms(step === "first" ? charge.first_from_at : charge.later_from_at) ? "due" : "wait";
}

/**
 * What the button of a step says before its time: "From 19:30, in 23 min".
 * @param {SupervisedCharge} charge
 * @param {"first" | "later"} step
 * @param {number} nowMs
 * @param {string} zone
 */
export function waitWords(charge, step, nowMs, zone) {
  const fromAt = step === "first" ? charge.first_from_at : charge.later_from_at;
  const minutes = Math.ceil((ms(fromAt) - nowMs) / MINUTE_MS);
  if (minutes <= 0) return `From ${formatTime(fromAt, zone)}, after the first feeling`;
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  const length = [hours > 0 && `${hours} h`, rest > 0 && `${rest} min`].filter(Boolean).join(" ");
  return `From ${formatTime(fromAt, zone)}, in ${length}`;
}

/**
 * The currents [A] that outlet and lead allow for it, the largest last.
 * @param {number} outletA
 * @param {number | null} leadA null: the cable is part of the outlet
 * @returns {number[]}
 */
export function allowedCurrents(outletA, leadA) {
  return CURRENTS_A.filter((current) => current <= Math.min(SUPERVISED_MAX_A, outletA, leadA ?? SUPERVISED_MAX_A));
}
