/**
 * The only door to the service: JSON in and out, the cookie session, ETags, and problems as thrown values.
 *
 * Unsafe calls carry X-Requested-By; creating calls an Idempotency-Key, the same for a repeat of the same try.
 */
import { Problem } from "../lib/problem.js";

/** @typedef {import("./types.d.ts").ProblemBody} ProblemBody */

/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @typedef {object} CallOptions
 * @property {unknown} [body] sent as JSON
 * @property {string} [csv] sent as text/csv instead
 * @property {Blob} [file] sent as it is instead; what it holds decides, not the type it claims
 * @property {Record<string, string>} [headers] further ones
 * @property {Record<string, string | number | boolean | null | undefined>} [query] empty values are left out
 * @property {string | null} [etag] sent as If-Match
 * @property {string} [key] Idempotency-Key
 * @property {AbortSignal} [signal]
 */

const BASE = "/api/v1";

/** @type {Set<() => void>} */
const signedOutListeners = new Set();

/**
 * Be told when a call finds that the session is over.
 * @param {() => void} listener
 */
export function onSignedOut(listener) {
  signedOutListeners.add(listener);
}

/**
 * A fresh Idempotency-Key.
 * @returns {string}
 */
export function newKey() {
  return crypto.randomUUID();
}

/**
 * The address of a call.
 * @param {string} path
 * @param {CallOptions["query"]} [query]
 * @returns {string}
 */
export function addressOf(path, query = {}) {
  const params = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) {
    if (value !== null && value !== undefined && value !== "") params.set(name, String(value));
  }
  const text = params.toString();
  return BASE + path + (text && `?${text}`);
}

/**
 * @param {string} method
 * @param {CallOptions} options
 * @returns {Record<string, string>}
 */
function headersOf(method, options) {
  /** @type {Record<string, string>} */
  const headers = { Accept: "application/json", ...options.headers };
  if (method !== "GET") headers["X-Requested-By"] = "plugward";
  if (options.body !== undefined) headers["Content-Type"] = "application/json";
  if (options.csv !== undefined) headers["Content-Type"] = "text/csv";
  if (options.file) headers["Content-Type"] = options.file.type || "application/octet-stream";
  if (options.etag) headers["If-Match"] = options.etag;
  if (options.key) headers["Idempotency-Key"] = options.key;
  return headers;
}

/**
 * Make a problem of an answer that is none of ours (a proxy's page) as well as of a proper one.
 * @param {Response} response
 * @returns {Promise<Problem>}
 */
async function problemOf(response) {
  const retryAfter = Number(response.headers.get("Retry-After"));
  /** @type {ProblemBody} */
  let body = { status: response.status, title: response.statusText };
  try {
    body = { ...body, ...(await response.json()), status: response.status };
  } catch {
    // The status alone has to do.
  }
  return new Problem(body, Number.isFinite(retryAfter) && retryAfter > 0 ? retryAfter : null);
}

/**
 * Make one call.
 * @template T
 * @param {string} method
 * @param {string} path below /api/v1
 * @param {CallOptions} [options]
 * @returns {Promise<Answer<T>>}
 * @throws {Problem}
 */
export async function call(method, path, options = {}) {
  let response;
  try {
    response = await fetch(addressOf(path, options.query), {
      method,
      headers: headersOf(method, options),
      body: options.file ?? options.csv ?? (options.body === undefined ? undefined : JSON.stringify(options.body)),
      credentials: "same-origin",
      signal: options.signal,
    });
  } catch (thrown) {
    if (thrown instanceof DOMException && thrown.name === "AbortError") throw thrown;
    throw new Problem({ status: 0, title: "No answer" });
  }
  if (!response.ok) {
    if (response.status === 401 && path !== "/session") signedOutListeners.forEach((listener) => listener());
    throw await problemOf(response);
  }
  const data = response.status === 204 ? null : await response.json();
  return { data, etag: response.headers.get("ETag"), status: response.status };
}

/**
 * Read.
 * @template T
 * @param {string} path
 * @param {CallOptions} [options]
 * @returns {Promise<Answer<T>>}
 */
export function get(path, options) {
  return call("GET", path, options);
}
