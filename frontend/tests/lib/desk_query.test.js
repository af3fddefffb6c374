import assert from "node:assert/strict";
import { test } from "node:test";
import {
  changedDesk, daysWords, filterBody, filtersOf, isDeskFiltered, readDeskQuery, writeDeskQuery,
} from "../../app/lib/desk_query.js";

const read = (/** @type {string} */ text) => readDeskQuery(new URLSearchParams(text));

test("the plain desk has an empty address", () => {
  assert.equal(writeDeskQuery(read("")), "");
  assert.equal(isDeskFiltered(read("")), false);
});

test("an address is read and written as it was", () => {
  const text = "?clearance=do_not_use&overdue=true&missing=check&told=unread&area=ZZ1&sort=-overdue&page=3";
  assert.equal(writeDeskQuery(read(text)), text);
});

test("what does not exist is left out", () => {
  assert.equal(writeDeskQuery(read("?missing=shoes&told=x&sort=colour&page=-4&overdue=1")), "");
});

test("another filter goes back to the first page, another page does not", () => {
  assert.equal(changedDesk(read("?page=3"), { told: "read" }).page, 1);
  assert.equal(changedDesk(read("?told=read&page=3"), { page: 4 }).told, "read");
});

test("a body names each filter, null where it is not set", () => {
  assert.deepEqual(filterBody(read("?area=ZZ1&overdue=true")), { clearance: null, overdue: true, missing: null, told: null, area: "ZZ1" });
  assert.deepEqual(filtersOf(read("?area=ZZ1&page=2")), { area: "ZZ1" });
});

test("days are said as a person does", () => {
  assert.deepEqual([3, 1, 0, -1, -30].map(daysWords), ["in 3 days", "in 1 day", "today", "1 day late", "30 days late"]);
});
