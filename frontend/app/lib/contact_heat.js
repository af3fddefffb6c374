/**
 * Heat in one worn joint of 50 milliohms, P = I²R: values for one picture.
 * The service's own arithmetic is the source; a test of the service compares them.
 */

export const WORN_JOINT_MOHM = 50;

/** @type {{ current_a: number, power_w: number, ratio: number }[]} ratio: over the heat at 10 A */
export const CONTACT_HEAT = [
  { "current_a": 6, "power_w": 1.8, "ratio": 0.36 },
  { "current_a": 10, "power_w": 5, "ratio": 1 },
  { "current_a": 13, "power_w": 8.45, "ratio": 1.69 },
];
