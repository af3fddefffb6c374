/** The administrator's entries of large loads: powers in W, 0 for none, empty for not known. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { bodyOf } from "../../app/lib/form_values.js";
import { LOAD_FIELDS, loadEntries, loadsOf } from "../../app/lib/home_fields.js";

test("loads are entered by kind and come back as they were", () => {
  const loads = [{ kind: "sockets", power_w: 7360 }, { kind: "sockets", power_w: 4600 }, { kind: "shower", power_w: 0 }];
  const entries = loadEntries(loads);
  assert.deepEqual([entries.load_sockets, entries.load_shower, entries.load_cooker], ["7360, 4600", "0", ""]);
  assert.deepEqual(loadsOf(bodyOf(LOAD_FIELDS, entries)), loads);
});

test("a kind with a power that is not known is left empty, and so stays not known", () => {
  const entries = loadEntries([{ kind: "cooker", power_w: null }]);
  assert.equal(entries.load_cooker, "");
  assert.deepEqual(loadsOf(bodyOf(LOAD_FIELDS, entries)), []);
});
