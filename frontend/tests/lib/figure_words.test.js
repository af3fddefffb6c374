/** The book of figures in words. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { bySubject, unknownWords, untilWords, valueWords } from "../../app/lib/figure_words.js";

/** @type {import("../../app/api/figure_types.d.ts").DatedFigure} */
const RATE = {
  name: "advisory_electric_home", key: "", subject: "Company car: advisory rates", label: "electric, charged at home", from_on: "2026-06-01", until_on: "2026-09-01",
  is_in_force: true, value: "7", unit: "pence per mile", standing: "two_sources", source: "HMRC, advisory fuel rates", recorded_by: null, recorded_at: null,
};
/** @type {import("../../app/api/figure_types.d.ts").FigureBook} */
const BOOK = {
  on: "2026-11-25", subjects: ["Own car", "Company car: advisory rates", "VAT"],
  items: [{ ...RATE, subject: "VAT", name: "vat_public_charging", label: "charging in public", value: "20", unit: "percent" }, RATE],
  not_known: [{ name: "passenger_rate", key: "", subject: "Own car", label: "for each passenger", since_on: null }],
};

test("a figure is shown in its unit to the last decimal, and money in pounds", () => {
  assert.equal(valueWords({ value: "0.01853", unit: "kg CO2e per kWh" }), "0.01853 kg CO2e per kWh");
  assert.equal(valueWords({ value: "10000", unit: "miles" }), "10,000 miles");
  assert.equal(valueWords({ value: "110000", unit: "pence" }), "£1,100.00");
});

test("an end is the day from which it no longer holds", () => {
  assert.equal(untilWords("2026-09-01"), "to before 1 Sept 2026");
  assert.equal(untilWords(null), "until a later one");
  assert.equal(unknownWords("2026-09-01"), "not known from 1 Sept 2026");
  assert.equal(unknownWords(null), "never known so far");
});

test("figures stand by subject in the book's order, with what is not known", () => {
  const found = bySubject(BOOK, "");
  assert.deepEqual(found.map(({ subject, known, unknown }) => [subject, known.length, unknown.length]), [["Own car", 0, 1], ["Company car: advisory rates", 1, 0], ["VAT", 1, 0]]);
});

test("a search finds rows that hold each of its words, in any order and case", () => {
  const names = (/** @type {string} */ search) => bySubject(BOOK, search).flatMap(({ known, unknown }) => [...known, ...unknown].map(({ name }) => name));
  assert.deepEqual(names("HOME electric"), ["advisory_electric_home"]);
  assert.deepEqual(names("hmrc agree"), ["advisory_electric_home", "vat_public_charging"]);
  assert.deepEqual(names("not known"), ["passenger_rate"]);
  assert.deepEqual(names("diesel"), []);
});
