/** A stop answer put together for showing, and kept on the device so that it can be read without a connection. */

/** @typedef {import("../api/check_types.d.ts").SafetyReport} SafetyReport */
/** @typedef {import("../api/check_types.d.ts").SignTable} SignTable */
/** @typedef {import("../api/check_types.d.ts").StopAnswerShown} StopAnswerShown */

const KEY = "plugward-stop-answer";

/**
 * The answer that the service gave.
 * @param {string} householdId
 * @param {Pick<SignTable, "emergency">} table
 * @param {string[]} doNow
 * @param {SafetyReport[]} reports
 * @returns {StopAnswerShown}
 */
export function stopAnswerOf(householdId, table, doNow, reports) {
  const stopped = reports.flatMap((report) => report.items.map(({ label, item_kind: kind, lifts }) => ({ label, kind, lifts })));
  return {
    householdId, shownAt: new Date().toISOString(), seen: [...new Set(reports.map(({ words }) => words))], doNow,
    emergency: table.emergency, stopped: unique(stopped), isRead: false, isRecorded: true, unsent: null,
  };
}

/**
 * The answer as the device knows it before the service has answered: what to do now does not wait.
 * @param {string} householdId
 * @param {SignTable} table
 * @param {string} name the sign's
 * @param {StopAnswerShown["unsent"]} unsent the report that has to reach the service
 * @returns {StopAnswerShown}
 */
export function stopAnswerBefore(householdId, table, name, unsent) {
  const sign = table.signs.find((one) => one.sign === name);
  return {
    householdId, shownAt: new Date().toISOString(), seen: sign ? [sign.words] : [], doNow: sign?.do_now ?? [],
    emergency: table.emergency, stopped: [], isRead: false, isRecorded: false, unsent,
  };
}

/**
 * @param {StopAnswerShown["stopped"]} items
 * @returns {StopAnswerShown["stopped"]}
 */
function unique(items) {
  return [...new Map(items.map((item) => [`${item.kind} ${item.label} ${item.lifts}`, item])).values()];
}

/** @param {StopAnswerShown} answer */
export function keepStopAnswer(answer) {
  try {
    localStorage.setItem(KEY, JSON.stringify(answer));
  } catch {
    // A device that keeps nothing still shows it now.
  }
}

/**
 * The answer kept last on this device, whoever's home it is of: while nobody can say who is signed in.
 * @returns {StopAnswerShown | null}
 */
export function lastStopAnswer() {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? "null");
  } catch {
    return null;
  }
}

/**
 * The answer kept last for this home.
 * @param {string} householdId
 * @returns {StopAnswerShown | null}
 */
export function keptStopAnswer(householdId) {
  const kept = lastStopAnswer();
  return kept?.householdId === householdId ? kept : null;
}

/**
 * The answer that nobody has said to have read: shown first after a reload.
 * @param {string} householdId
 * @returns {StopAnswerShown | null}
 */
export function unreadStopAnswer(householdId) {
  const kept = keptStopAnswer(householdId);
  return kept?.isRead === false || kept?.unsent ? kept : null;
}

/**
 * Note on the device that the answer was read; it stays to be read again.
 * @param {string} householdId
 */
export function noteStopAnswerRead(householdId) {
  const kept = keptStopAnswer(householdId);
  if (kept) keepStopAnswer({ ...kept, isRead: true });
}
