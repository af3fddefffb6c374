/** A notice's text becomes paragraphs and lists, whatever is in it. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { noticeParts } from "../../app/lib/notice_text.js";

test("lines with a dash are of a list, others are paragraphs, empty ones go", () => {
  assert.deepEqual(noticeParts("Do this now:\n- End it.\n- Touch nothing.\n\nLifted by:\n- a test"), [
    { kind: "words", text: "Do this now:" },
    { kind: "list", lines: ["End it.", "Touch nothing."] },
    { kind: "words", text: "Lifted by:" },
    { kind: "list", lines: ["a test"] },
  ]);
  assert.deepEqual(noticeParts(""), []);
});

test("a dash inside a line stays in it", () => {
  assert.deepEqual(noticeParts("half - way"), [{ kind: "words", text: "half - way" }]);
});
