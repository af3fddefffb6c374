import assert from "node:assert/strict";
import { test } from "node:test";
import { currentVersion, latestVersion, runName, runWords, versionName, versionState } from "../../app/lib/tariff_words.js";

const VERSIONS = [
  { id: "v1", valid_from_on: "2026-04-01", published_at: "2026-03-01T00:00:00Z", label: "Spring" },
  { id: "v2", valid_from_on: "2026-12-01", published_at: null, label: "" },
];
/** @type {import("../../app/api/types.d.ts").Tariff} */
const TARIFF = { id: "t", name: "T", kind: "banded", clock: "local", current_version_id: "v1", versions: VERSIONS, series: null };

test("the version in force and the one to start from are found", () => {
  assert.equal(currentVersion(TARIFF)?.id, "v1");
  assert.equal(latestVersion(TARIFF)?.id, "v2");
  assert.equal(latestVersion({ ...TARIFF, versions: [] }), null);
  assert.deepEqual(VERSIONS.map((version) => versionState(TARIFF, version)), ["In force", "Draft"]);
  assert.equal(versionName(VERSIONS[1]), "Version from 1 December 2026");
});

test("a run says how far it is", () => {
  /** @type {import("../../app/api/types.d.ts").Run} */
  const run = {
    id: "r", reason: "tariff_change", label: "", created_at: "", finished_at: null, household_count: 24, done_count: 8,
    changed_count: 7, moved_count: 1, chunk_count: 2, chunks_done: 0,
  };
  assert.equal(runWords(run), "8 of 24 homes replanned, 7 plans changed, charging times moved in 1 home so far.");
  assert.equal(runName(run), "Tariff change");
  assert.equal(runName({ ...run, label: "Spring" }), "Tariff change: Spring");
  assert.equal(runName({ ...run, reason: "new_day", label: "New day 2026-11-25" }), "A new day: 25 November 2026");
  assert.equal(runName({ ...run, reason: "prices_arrived", label: "Half-hourly prices arrived" }), "New half-hour prices");
  assert.match(runWords({ ...run, finished_at: "2026-11-25T12:00:00Z" }), /^Finished\./);
});
