/** Who is signed in. */
import { signal } from "@preact/signals";
import { getSession, signIn, signOut } from "../api/accounts.js";
import { onSignedOut } from "../api/client.js";
import { asProblem } from "../lib/problem.js";

/** @typedef {import("../api/types.d.ts").Session} Session */

/** The session; null when nobody is signed in. @type {import("@preact/signals").Signal<Session | null>} */
export const session = signal(null);

/** Has the service been asked yet? */
export const isSessionKnown = signal(false);

/** Why it could not be asked. @type {import("@preact/signals").Signal<import("../lib/problem.js").Problem | null>} */
export const sessionProblem = signal(null);

/** Ask the service who is signed in; the page it served says whether somebody may be. */
export async function loadSession() {
  sessionProblem.value = null;
  if (document.documentElement.dataset.session !== "maybe") {
    isSessionKnown.value = true;
    return;
  }
  try {
    session.value = (await getSession()).data;
  } catch (thrown) {
    const problem = asProblem(thrown);
    session.value = null;
    if (problem.status !== 401) sessionProblem.value = problem;
  }
  isSessionKnown.value = true;
}

/** Let calls that find the session over end it here too; called once by main.js. */
export function watchSession() {
  onSignedOut(() => {
    session.value = null;
  });
}

/**
 * @param {string} email
 * @param {string} password
 */
export async function enter(email, password) {
  session.value = (await signIn(email, password)).data;
}

/** End the session here whatever the service answers, unless it could not be reached. */
export async function leave() {
  try {
    await signOut();
  } catch (thrown) {
    if (asProblem(thrown).status !== 401) throw thrown;
  }
  session.value = null;
}

/**
 * The signed-in member's household.
 * @returns {string} "" when the account has none
 */
export function ownHouseholdId() {
  return session.value?.household_id ?? "";
}
