/** The survey against answers of the service: one step a screen, saved one by one, gone on with where it was left. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";
import { home } from "../plans.js";

const { html } = await import("htm/preact");
const { SurveyPage } = await import("../../app/pages/safety/survey/survey.js");
const { question } = await import("../../app/state/confirm.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {{ method: string, path: string, body: any, etag: string | null }[]} */
const calls = [];

/**
 * @param {string} step
 * @param {Partial<import("../../app/api/survey_types.d.ts").SurveyStep>} [changes]
 * @returns {import("../../app/api/survey_types.d.ts").SurveyStep}
 */
function stepOf(step, changes = {}) {
  return /** @type {any} */ ({ step, item_id: null, label: "", answers: {}, saved_at: null, is_complete: false, ...changes });
}

const SAVED = { saved_at: "2026-11-25T12:00:00Z", is_complete: true };

/** @param {any[]} steps @param {string[]} [questions] */
function surveyOf(steps, questions = []) {
  return { steps, electrician_questions: questions, consents: [], is_complete: steps.every((step) => step.is_complete), saved_share: "0" };
}

/**
 * @param {any} survey
 * @param {() => Response | Promise<Response>} put
 */
function serving(survey, put) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    const headers = /** @type {Record<string, string>} */ (init?.headers ?? {});
    const method = init?.method ?? "GET";
    calls.push({ method, path: String(url), body: init?.body ? JSON.parse(String(init.body)) : null, etag: headers["If-Match"] ?? null });
    if (method === "PUT") return put();
    if (String(url).endsWith("/survey")) return Response.json(survey, { headers: { ETag: '"4"' } });
    return Response.json({ ...home(), id: "h1", zone: "Europe/London", nation: "wales", circuits: [] });
  });
}

const realFetch = globalThis.fetch;
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

async function opened() {
  const page = draw(html`<${SurveyPage} />`);
  await settle();
  return page;
}

/** @param {HTMLElement} page @param {string} name */
function press(page, name) {
  const found = [...page.querySelectorAll("button")].find((button) => button.textContent?.startsWith(name));
  assert.ok(found, `no button ${name}`);
  found.click();
}

test("it opens at the first step that nobody saved, and says how far it is", async () => {
  serving(surveyOf([stepOf("home", SAVED), stepOf("supply"), stepOf("lead")]), () => Response.json({}));
  const page = await opened();
  assert.equal(one(page, "h2").textContent, "The supply");
  assert.match(page.textContent ?? "", /Step 2 of 3; 1 saved/);
  assert.match(page.textContent ?? "", /Do not open a socket/);
});

test("a step is saved under the version it was made from, and the next one comes", async () => {
  const before = surveyOf([stepOf("home"), stepOf("consents")]);
  serving(before, () => Response.json(surveyOf([stepOf("home", SAVED), stepOf("consents")]), { headers: { ETag: '"5"' } }));
  const page = await opened();
  assert.match(page.textContent ?? "", /recorded in\s+Wales/);
  press(page, "Save and go on");
  await settle();
  const put = calls.find(({ method }) => method === "PUT");
  assert.deepEqual([put?.path, put?.etag, put?.body], ["/api/v1/households/h1/survey/home", '"4"', { answers: { tenure: "not_known", moved_in_on: null } }]);
  assert.equal(one(page, "h2").textContent, "Who has to agree");
  assert.match(page.textContent ?? "", /Saved: Your home\./);
});

test("without an answer nothing is called saved, and the entries stay", async () => {
  serving(surveyOf([stepOf("supply")]), () => Promise.reject(new TypeError("offline")));
  const page = await opened();
  const fuse = one(page, "input[name=fuse_a]");
  Object.assign(fuse, { value: "80" });
  fuse.dispatchEvent(new Event("input", { bubbles: true }));
  await settle();
  press(page, "Save and go on");
  await settle();
  assert.match(page.textContent ?? "", /Not saved\./);
  assert.equal(/** @type {HTMLInputElement} */ (one(page, "input[name=fuse_a]")).value, "80");
});

test("“I do not know” empties an entry, and an empty one means it", async () => {
  serving(surveyOf([stepOf("supply", { answers: { fuse_a: 80 } })]), () => Response.json(surveyOf([stepOf("supply", SAVED)])));
  const page = await opened();
  const button = one(page, ".known-entry .unknown-button");
  assert.equal(button.getAttribute("aria-pressed"), "false");
  button.click();
  await settle();
  assert.equal(one(page, ".known-entry .unknown-button").getAttribute("aria-pressed"), "true");
  press(page, "Save and go on");
  await settle();
  assert.equal(calls.find(({ method }) => method === "PUT")?.body.answers.fuse_a, null);
});

test("a refused answer is named beside its question", async () => {
  const refusal = { status: 422, title: "The input was rejected", errors: [{ pointer: "#/answers/fuse_a", detail: "must lie between 5 and 200 A" }] };
  serving(surveyOf([stepOf("supply")]), () => Response.json(refusal, { status: 422 }));
  const page = await opened();
  press(page, "Save and go on");
  await settle();
  assert.match(one(page, ".known-entry .fault").textContent ?? "", /Must lie between 5 and 200 A/);
});

test("at the end stand what the electrician will be asked and the cautions", async () => {
  serving(surveyOf([stepOf("home", SAVED)], ["Is the supply looped? Fills: looped supply."]), () => Response.json({}));
  const page = await opened();
  assert.equal(one(page, "h2").textContent, "Thank you, that is all");
  for (const words of [/Is the supply looped\? Fills/, /Your landlord, lease or insurer/, /Do not open a socket/, /never a pass/]) assert.match(page.textContent ?? "", words);
});

test("a yes to an extension lead asks once whether it is right, and then says what to do before the survey goes on", async () => {
  const lead = (/** @type {object} */ changes = {}) => stepOf("lead", { item_id: "l1", label: "Portable lead", answers: { kind: "mode_2", uses_extension: "no" }, ...changes });
  const after = surveyOf([lead({ ...SAVED, answers: { kind: "mode_2", uses_extension: "yes" } }), stepOf("consents")]);
  serving(surveyOf([lead(), stepOf("consents")]), () => Response.json(after, { headers: { ETag: '"5"' } }));
  const answering = globalThis.fetch;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    if (String(url).includes("/extension_leads")) return Response.json({ items: [], total: 0, page: 1, page_size: 200 });
    return answering(url, init);
  });
  const page = await opened();
  const group = [...page.querySelectorAll("fieldset")].find((each) => each.textContent?.startsWith("Do you use an extension lead"));
  assert.ok(group, page.textContent ?? "");
  const yes = one(group, "input[value=yes]");
  yes.dispatchEvent(new window.Event("change", { bubbles: true }));
  await settle();
  press(page, "Save and go on");
  await settle();
  assert.equal(calls.filter(({ method }) => method === "PUT").length, 0);
  question.value?.answer(true);
  await settle();
  assert.equal(calls.find(({ method }) => method === "PUT")?.body.answers.uses_extension, "yes");
  assert.equal(one(page, "h2").textContent, "Do not charge through the extension lead");
  press(page, "Go on with the survey");
  await settle();
  assert.equal(one(page, "h2").textContent, "Who has to agree");
});
