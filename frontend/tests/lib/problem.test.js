import assert from "node:assert/strict";
import { test } from "node:test";
import { Problem, asProblem, fieldFault, fieldOfPointer, fieldWords, problemWords, sentence, waitWords } from "../../app/lib/problem.js";

test("pointers become field paths, with or without the fragment sign", () => {
  assert.equal(fieldOfPointer("/sheets/0/bands/1/name"), "sheets.0.bands.1.name");
  assert.equal(fieldOfPointer("#/miles"), "miles");
  assert.equal(fieldOfPointer("/a~1b/c~0d"), "a/b.c~d");
  assert.equal(fieldOfPointer(""), "");
});

test("a fault is found beside its field and nowhere else", () => {
  const problem = new Problem({ status: 422, errors: [{ pointer: "/miles", detail: "Too far." }] });
  assert.equal(fieldFault(problem, "miles"), "Too far.");
  assert.equal(fieldFault(problem, "note"), "");
  assert.equal(fieldFault(null, "miles"), "");
});

test("a field path is readable", () => {
  assert.equal(fieldWords("sheets.0.bands.1.name"), "Sheet 1, band 2, name");
  assert.equal(fieldWords("starts_on"), "Starts on");
  assert.equal(fieldWords(""), "");
});

test("a rule is shown as a sentence", () => {
  assert.equal(sentence("must lie between 0 and 100 %"), "Must lie between 0 and 100 %.");
  assert.equal(sentence("Too far."), "Too far.");
  assert.equal(sentence(" "), "");
});

test("every status says what to do, unknown ones too", () => {
  for (const status of [0, 401, 403, 404, 409, 412, 422, 428, 429, 500, 503, 418]) {
    const { headline, advice } = problemWords(new Problem({ status, title: "T" }));
    assert.ok(headline.length > 0 && advice.length > 0, String(status));
  }
});

test("too many tries says how long to wait", () => {
  assert.match(problemWords(new Problem({ status: 429 }, 240)).advice, /4 minutes/);
  assert.equal(waitWords(30), "30 seconds");
  assert.equal(waitWords(null), "a few minutes");
});

test("anything thrown becomes a problem without a status", () => {
  assert.equal(asProblem(new Error("boom")).status, 0);
  const problem = new Problem({ status: 404 });
  assert.equal(asProblem(problem), problem);
});
