/** What administrators read about visits and inspections. */
import assert from "node:assert/strict";
import { test } from "node:test";
import "../dom.js";

const { inspectionStanding } = await import("../../app/lib/inspection_standing.js");
const { matchRoute, redirectFor } = await import("../../app/lib/route_match.js");
const { readVisitQuery, visitsHref } = await import("../../app/lib/visit_query.js");
const { NEXT_STEPS, isLinkable, selectionWords, whenWords } = await import("../../app/lib/visit_words.js");
const { VISIT_STATE_WORDS } = await import("../../app/lib/inspection_words.js");
const { routes } = await import("../../app/more_routes.js");

/** @param {Partial<import("../../app/api/visit_types.d.ts").VisitRow>} more */
const visit = (more) => /** @type {import("../../app/api/visit_types.d.ts").VisitRow} */ ({ household_id: "h1", outlets: ["a"], agreed_on: "2026-11-26", agreed_from: null, agreed_until: null, state: "date_agreed", ...more });

test("a visit's day and the times that are agreed", () => {
  assert.equal(whenWords(visit({ agreed_on: null })), "no date yet");
  assert.equal(whenWords(visit({ agreed_from: "09:00", agreed_until: "12:00" })), "26 Nov 2026, 09:00 to 12:00");
  assert.equal(whenWords(visit({ agreed_from: "09:00" })), "26 Nov 2026, from 09:00");
});

test("what one link would hold is counted in homes, outlets and days", () => {
  assert.equal(selectionWords([visit({}), visit({ household_id: "h2", outlets: ["a", "b"], agreed_on: "2026-11-28" })]), "2 homes with 3 outlets on 2 days, 26 Nov 2026 to 28 Nov 2026");
  assert.equal(selectionWords([visit({})]), "1 home with 1 outlet on 26 Nov 2026");
});

test("a link needs an agreed day", () => {
  assert.equal(isLinkable(visit({})), true);
  assert.equal(isLinkable(visit({ agreed_on: null })), false);
  assert.equal(isLinkable(visit({ state: "asked" })), false);
});

test("every state has words and steps, and no step leads to a state that has none", () => {
  assert.deepEqual(Object.keys(NEXT_STEPS).sort(), Object.keys(VISIT_STATE_WORDS).sort());
  for (const { state } of Object.values(NEXT_STEPS).flat()) assert.ok(VISIT_STATE_WORDS[state]);
});

test("filters stand in the address, what is usual does not", () => {
  assert.equal(visitsHref({ state: "", area: "", sort: "risk", page: 1, links: 1 }), "/visits");
  const query = { state: "asked", area: "ZZ1", sort: "agreed_on", page: 2, links: 3 };
  assert.deepEqual(readVisitQuery(visitsHref(query)), query);
  assert.equal(readVisitQuery("/visits?sort=mischief&page=-3").sort, "risk");
  assert.equal(readVisitQuery("/visits?sort=mischief&page=-3").page, 1);
});

test("a typed or imported inspection is called a claim, whatever else stands with it", () => {
  assert.match(inspectionStanding({ source: "typed", file_id: null }), /^claimed, document missing/);
  assert.match(inspectionStanding({ source: "import", file_id: "f", accepted_at: "2026-11-25T00:00:00Z" }), /does not clear/);
  assert.match(inspectionStanding({ source: "link", file_id: "f" }), /waits for a safety officer/);
  assert.match(inspectionStanding({ source: "link", file_id: null, accepted_at: null }), /document missing/);
  assert.match(inspectionStanding({ source: "link", file_id: "f", is_partial: true }), /readings still to come/);
  assert.equal(inspectionStanding({ source: "link", file_id: "f", accepted_at: "2026-11-25T00:00:00Z" }), "accepted");
  assert.match(inspectionStanding({ source: "link", file_id: "f", superseded_at: "2026-11-25T00:00:00Z" }), /^corrected/);
});

test("the electrician's page opens for anybody, signed in or not", () => {
  const route = matchRoute(routes, "/inspect")?.route ?? null;
  assert.equal(redirectFor(route, null, "/inspect"), null);
  const member = /** @type {import("../../app/api/types.d.ts").Session} */ ({ roles: ["member"] });
  assert.equal(redirectFor(route, member, "/inspect?visit=1"), null);
  assert.equal(redirectFor(matchRoute(routes, "/visits")?.route ?? null, member, "/visits"), "/today");
});
