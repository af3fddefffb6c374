/** Tariff versions in words. */
import { counted } from "./quantity.js";
import { datesInWords } from "./record_dates.js";
import { formatDate } from "./time.js";
import { RUN_WORDS } from "./wording.js";

/** @typedef {import("../api/types.d.ts").Tariff} Tariff */
/** @typedef {import("../api/types.d.ts").VersionSummary} VersionSummary */
/** @typedef {import("../api/types.d.ts").Run} Run */

/**
 * @param {Tariff} tariff
 * @returns {VersionSummary | null}
 */
export function currentVersion(tariff) {
  return tariff.versions.find(({ id }) => id === tariff.current_version_id) ?? null;
}

/**
 * The version that a new draft best starts from: the one valid last.
 * @param {Tariff} tariff
 * @returns {VersionSummary | null}
 */
export function latestVersion(tariff) {
  return [...tariff.versions].sort((left, right) => right.valid_from_on.localeCompare(left.valid_from_on))[0] ?? null;
}

/**
 * How a version stands.
 * @param {Tariff} tariff
 * @param {VersionSummary} version
 * @returns {string}
 */
export function versionState(tariff, version) {
  if (version.published_at === null) return "Draft";
  return version.id === tariff.current_version_id ? "In force" : "Published";
}

/**
 * How far a run is, in words.
 * @param {Run} run
 * @returns {string}
 */
export function runWords(run) {
  const counts = `${run.done_count} of ${counted(run.household_count, "home")} replanned, ${counted(run.changed_count, "plan")} changed, charging times moved in ${counted(run.moved_count, "home")}`;
  return run.finished_at ? `Finished. ${counts}.` : `${counts} so far.`;
}

/**
 * What a run is about: its reason, and the version or the day where it has one.
 * @param {Run} run
 * @returns {string}
 */
export function runName({ reason, label }) {
  const words = RUN_WORDS[reason];
  // The service's label of the other reasons only says the reason again.
  if (reason === "new_day") return `${words}: ${datesInWords(label.replace(/^New day /, ""))}`;
  return reason === "tariff_change" && label ? `${words}: ${label}` : words;
}

/**
 * A version's name: its label, or the day from which it is valid.
 * @param {{ label: string, valid_from_on: string }} version
 * @returns {string}
 */
export function versionName(version) {
  return version.label || `Version from ${formatDate(version.valid_from_on)}`;
}

/**
 * How many homes are on a tariff today.
 * @param {import("../api/types.d.ts").TariffUse[]} uses
 * @param {string} tariffId
 * @returns {number}
 */
export function homesOn(uses, tariffId) {
  return uses.find((use) => use.tariff_id === tariffId)?.household_count ?? 0;
}
