/** Choosing many claims: one by one, a range by the last one chosen, or all that can be approved. */

/** @typedef {import("../api/claim_types.d.ts").ClaimRow} ClaimRow */
/** @typedef {{ ids: Set<string>, last: string }} Choice last: the one a range begins at */

/** @type {Choice} */
export const NONE = { ids: new Set(), last: "" };

/**
 * Can it be approved as it stands?
 * @param {ClaimRow} row
 * @returns {boolean}
 */
export function isToDecide({ state }) {
  return state === "sent";
}

/**
 * Choose or leave out one claim, or with it all from the last one chosen.
 * @param {Choice} choice
 * @param {ClaimRow[]} rows in the order shown
 * @param {string} id
 * @param {boolean} isOn
 * @param {boolean} isRange
 * @returns {Choice}
 */
export function choose(choice, rows, id, isOn, isRange) {
  const places = [rows.findIndex((row) => row.id === choice.last), rows.findIndex((row) => row.id === id)].sort((left, right) => left - right);
  const meant = isRange && places[0] >= 0 ? rows.slice(places[0], places[1] + 1).filter(isToDecide).map((row) => row.id) : [id];
  const ids = new Set(choice.ids);
  for (const one of meant) {
    if (isOn) ids.add(one);
    else ids.delete(one);
  }
  return { ids, last: id };
}

/**
 * Every claim shown that can be approved.
 * @param {ClaimRow[]} rows
 * @returns {Choice}
 */
export function chooseAll(rows) {
  return { ids: new Set(rows.filter(isToDecide).map(({ id }) => id)), last: "" };
}

/**
 * The chosen ones that can still be approved, with what they come to.
 * @param {Choice} choice
 * @param {ClaimRow[]} rows
 * @returns {{ claims: { claim_id: string, version: number }[], count: number, pence: number }}
 */
export function chosenOf(choice, rows) {
  const chosen = rows.filter((row) => choice.ids.has(row.id) && isToDecide(row));
  return { claims: chosen.map(({ id, version }) => ({ claim_id: id, version })), count: chosen.length, pence: chosen.reduce((sum, row) => sum + row.total_pence, 0) };
}
