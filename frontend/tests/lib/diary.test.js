import assert from "node:assert/strict";
import { test } from "node:test";
import { diaryWords, lastDays, readLines } from "../../app/lib/diary.js";

const TODAY = "2026-03-02";

test("the last fourteen days are shown, today first, across the end of a month", () => {
  const shown = lastDays([{ id: "d", on: "2026-02-28", miles: "46" }], TODAY);
  assert.equal(shown.length, 14);
  assert.deepEqual(shown.slice(0, 3).map(({ on }) => on), ["2026-03-02", "2026-03-01", "2026-02-28"]);
  assert.deepEqual(shown.map(({ day }) => day?.miles ?? null).filter(Boolean), ["46"]);
});

test("the diary counts from a week on, and says so until then", () => {
  assert.match(diaryWords(6, "9 days in 10"), /^6 days kept\. After 1 more, the plan has enough charge on 9 days in 10/);
  assert.match(diaryWords(7, "9 days in 10"), /^7 days kept: the plan has enough charge on 9 days in 10/);
});

test("lines are read with a comma, a semicolon or a tab, and with dates as written here", () => {
  const { days, faults } = readLines("day,miles\n2026-02-27,46\n28/02/2026; 12.5\n\n1.3.2026\t0\n", TODAY);
  assert.deepEqual(faults, []);
  assert.deepEqual(days, [{ on: "2026-02-27", miles: "46" }, { on: "2026-02-28", miles: "12.5" }, { on: "2026-03-01", miles: "0" }]);
});

test("a line that cannot be read is named, and nothing is guessed", () => {
  const text = "2026-02-30,1\n2026-03-03,1\n2026-02-20,lots\n2026-02-20\n2026-02-21,1\n21/2/2026,2\n2026-02-22,1.25";
  const { days, faults } = readLines(text, TODAY);
  assert.deepEqual(days, [{ on: "2026-02-21", miles: "1" }]);
  assert.deepEqual(faults.map((fault) => fault.split(":")[0]), ["Line 1", "Line 2", "Line 3", "Line 4", "Line 6", "Line 7"]);
});
