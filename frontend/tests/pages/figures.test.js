/** The book of figures on screen, against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { FiguresPage } = await import("../../app/pages/figures/figures.js");
const { adjust } = await import("../../app/state/router.js");

/** @type {string[]} */
const calls = [];
const realFetch = globalThis.fetch;
const RATE = {
  name: "advisory_electric_home", key: "", subject: "Company car", label: "electric, charged at home", from_on: "2025-12-01", until_on: null, is_in_force: false,
  value: "7", unit: "pence per mile", standing: "published", source: "HMRC, advisory fuel rates", recorded_by: "Op", recorded_at: "2026-11-20T10:00:00+00:00",
};
const BOOK = {
  on: "2026-11-25", subjects: ["Company car"], items: [RATE],
  not_known: [{ name: "advisory_electric_public", key: "", subject: "Company car", label: "electric, charged in public", since_on: "2026-09-01" }],
};

/** @param {object} answer */
function serving(answer) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url) => {
    calls.push(String(url));
    return new Response(JSON.stringify(answer));
  });
}
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

test("each figure stands with days, standing and source, and what is not known stands out in words", async () => {
  adjust("/figures?on=2026-11-25");
  serving(BOOK);
  const place = draw(html`<${FiguresPage} />`);
  await settle();
  assert.match(calls[0], /\/figures\?on=2026-11-25$/);
  const rows = [...place.querySelectorAll("tbody tr")].map((row) => [...row.children].map((cell) => cell.textContent));
  assert.deepEqual(rows[0], ["electric, charged at home", "7 pence per mile", "1 Dec 2025until a later one", "Published", "HMRC, advisory fuel ratesrecorded by Op, 20 Nov 2026"]);
  assert.deepEqual(rows[1].slice(0, 3), ["electric, charged in public", "Not known", "not known from 1 Sept 2026"]);
  assert.match(place.textContent ?? "", /1 figure not known on 25 November 2026/);
  assert.match(place.textContent ?? "", /Not tax advice/);
});

test("a search that finds nothing says so and leads back", async () => {
  adjust("/figures?search=diesel&all=true");
  serving(BOOK);
  const place = draw(html`<${FiguresPage} />`);
  await settle();
  assert.match(calls[0], /\/figures$/);
  assert.equal(one(place, ".empty-title").textContent, "No figure is like this");
  assert.equal(one(place, ".empty a").getAttribute("href"), "/figures");
});

test("an odd day in the address falls back to today", async () => {
  adjust("/figures?on=soon");
  serving(BOOK);
  draw(html`<${FiguresPage} />`);
  await settle();
  assert.match(calls[0], /on=\d{4}-\d{2}-\d{2}$/);
});
