/** Signing in and out. */
import { call, get } from "./client.js";

/** @typedef {import("./types.d.ts").Session} Session */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/** @returns {Promise<Answer<Session>>} */
export function getSession() {
  return get("/session");
}

/**
 * @param {string} email
 * @param {string} password
 * @returns {Promise<Answer<Session>>}
 */
export function signIn(email, password) {
  return call("POST", "/session", { body: { email, password } });
}

/** @returns {Promise<Answer<null>>} */
export function signOut() {
  return call("DELETE", "/session");
}
