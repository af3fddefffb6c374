import assert from "node:assert/strict";
import { test } from "node:test";
import { matchRoute, ownPath, redirectFor } from "../../app/lib/route_match.js";
import { routes } from "../../app/more_routes.js";

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h", demo_mail: false };
/** @type {import("../../app/api/types.d.ts").Session} */
const ADMINISTRATOR = { ...MEMBER, roles: ["administrator"], household_id: null };

const routeOf = (/** @type {string} */ path) => matchRoute(routes, path)?.route ?? null;

test("a fixed path comes before one with a part that varies", () => {
  assert.equal(routeOf("/households/new")?.path, "/households/new");
  assert.equal(matchRoute(routes, "/households/abc%2F1")?.params.householdId, "abc/1");
  assert.equal(routeOf("/tariffs/t1/new")?.path, "/tariffs/:tariffId/new");
  assert.deepEqual(matchRoute(routes, "/tariffs/t1/v2")?.params, { tariffId: "t1", versionId: "v2" });
  assert.equal(routeOf("/nowhere"), null);
});

test("without a session every page leads to sign-in and back", () => {
  assert.equal(redirectFor(routeOf("/households"), null, "/households?search=a"), "/sign-in?next=%2Fhouseholds%3Fsearch%3Da");
  assert.equal(redirectFor(routeOf("/sign-in"), null, "/sign-in?next=%2Fweek"), null);
  assert.equal(redirectFor(routeOf("/sign-in"), MEMBER, "/sign-in?next=%2Fweek"), "/week");
});

test("each role starts from its own page and is kept out of the other's", () => {
  assert.equal(redirectFor(null, MEMBER, "/"), "/today");
  assert.equal(redirectFor(null, ADMINISTRATOR, "/"), "/households");
  assert.equal(redirectFor(routeOf("/households"), MEMBER, "/households"), "/today");
  assert.equal(redirectFor(routeOf("/week"), ADMINISTRATOR, "/week"), "/households");
  assert.equal(redirectFor(routeOf("/week"), MEMBER, "/week"), null);
});

test("signing in never leads to another site", () => {
  for (const bad of ["https://evil.example", "//evil.example", "/\\evil.example", "javascript:alert(1)", "", null, "/sign-in?next=/x"]) {
    assert.equal(ownPath(bad), null);
  }
  assert.equal(ownPath("/week"), "/week");
});

test("every page of the table can be loaded as a component", async () => {
  await import("../dom.js");
  for (const route of routes) assert.equal(typeof (await route.load()), "function", route.path);
});
