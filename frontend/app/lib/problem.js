/**
 * A refusal or failure from the service (RFC 9457), and what a person can do about it.
 * Pointers may arrive as "#/a/0/b" or "/a/0/b"; both are read as the field path "a.0.b".
 */

/** @typedef {import("../api/types.d.ts").ProblemBody} ProblemBody */

/** A call that did not succeed; status 0 means that no answer came at all. */
export class Problem extends Error {
  /**
   * @param {ProblemBody} body
   * @param {number | null} [retryAfterS] seconds to wait, when the service names them
   */
  constructor(body, retryAfterS = null) {
    super(body.detail || body.title || "The request failed");
    this.name = "Problem";
    this.type = body.type ?? "about:blank";
    this.status = body.status;
    this.title = body.title ?? "";
    this.detail = body.detail ?? "";
    this.retryAfterS = retryAfterS;
    this.errors = (body.errors ?? []).map(({ pointer, detail }) => ({ field: fieldOfPointer(pointer), detail: sentence(detail) }));
  }
}

/**
 * A rule as a sentence: "must lie between 0 and 100 %" -> "Must lie between 0 and 100 %."
 * @param {string} text
 * @returns {string}
 */
export function sentence(text) {
  const trimmed = text.trim();
  if (trimmed === "") return "";
  return trimmed.charAt(0).toUpperCase() + trimmed.slice(1) + (/[.!?]$/.test(trimmed) ? "" : ".");
}

/**
 * Turn a JSON Pointer into a dotted field path.
 * @param {string} pointer
 * @returns {string}
 */
export function fieldOfPointer(pointer) {
  const parts = pointer.replace(/^#/, "").split("/").slice(1);
  return parts.map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~")).join(".");
}

/**
 * A field path in words: "sheets.0.bands.1.valid_from_on" -> "Sheet 1, band 2, valid from on".
 * @param {string} field
 * @returns {string}
 */
export function fieldWords(field) {
  /** @type {string[]} */
  const words = [];
  for (const part of field.split(".")) {
    if (/^\d+$/.test(part)) words.push(`${(words.pop() ?? "row").replace(/s$/, "")} ${Number(part) + 1}`);
    else words.push(part.replaceAll("_", " "));
  }
  const text = words.join(", ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/**
 * What the service says about one field, or "" when it says nothing.
 * @param {Problem | null} problem
 * @param {string} field dotted path, such as "sheets.0.bands.1.name"
 * @returns {string}
 */
export function fieldFault(problem, field) {
  return (problem?.errors ?? []).filter((fault) => fault.field === field).map((fault) => fault.detail).join(" ");
}

/**
 * Wrap whatever was thrown: a Problem stays itself, anything else becomes one without a status.
 * @param {unknown} thrown
 * @returns {Problem}
 */
export function asProblem(thrown) {
  if (thrown instanceof Problem) return thrown;
  return new Problem({ status: 0, title: "No answer", detail: thrown instanceof Error ? thrown.message : String(thrown) });
}

/**
 * Say in words how long to wait.
 * @param {number | null} seconds
 * @returns {string}
 */
export function waitWords(seconds) {
  if (seconds === null) return "a few minutes";
  if (seconds < 90) return `${Math.max(1, Math.ceil(seconds))} seconds`;
  return `${Math.ceil(seconds / 60)} minutes`;
}

/** @type {Record<number, [string, string]>} status -> headline, what to do */
const WORDS = {
  0: ["The service could not be reached", "Check the connection, then try again. What you typed is still here."],
  401: ["You are signed out", "Sign in again to go on."],
  403: ["This page is for another role", "Ask your scheme's administrator if you need it."],
  404: ["Not found", "It may have been removed. Go back and choose again."],
  409: ["This cannot be done now", "Read the reason, put it right and try again."],
  410: ["This link is no longer open", "Ask the scheme that sent it for a new one."],
  412: ["Someone else changed this first", "The latest state has been loaded. Check it, then make your change again."],
  422: ["Some entries need another look", "Put the marked entries right and send them again."],
  428: ["The page was out of date", "Load it again and repeat the change."],
};

/**
 * The headline and the next step for a problem.
 * @param {Problem} problem
 * @returns {{ headline: string, advice: string }}
 */
export function problemWords(problem) {
  if (problem.status === 429) {
    const wait = waitWords(problem.retryAfterS);
    return { headline: "Too many tries", advice: `Wait ${wait}, then try again.` };
  }
  const [headline, advice] = WORDS[problem.status] ?? [
    problem.title || "Something went wrong on our side",
    "Nothing was changed. Try again; if it happens again, tell your scheme's administrator.",
  ];
  return { headline, advice };
}
