/** The replanning that a published version has set off, followed until it ends. */
import { html } from "htm/preact";
import { listRuns } from "../../api/planning.js";
import { Loaded } from "../../components/loaded.js";
import { useRepeat } from "../../state/repeat.js";
import { useResource } from "../../state/resource.js";
import { formatRecordInstant } from "../../lib/record_dates.js";
import { RunProgress } from "../planning/run_progress.js";
import { SCHEME_ZONE } from "./tariff.js";

/** @typedef {import("../../api/types.d.ts").Version} Version */
/** @typedef {import("../../api/types.d.ts").Run} Run */

const POLL_MS = 1_500;

/** @param {{ version: Version }} props */
export function VersionRuns({ version }) {
  const runs = useResource((reading) => listRuns({ version_id: version.id }, reading), [version.id]);
  const isWaiting = runs.data !== null && runs.data.items.length === 0 && isRecent(version.published_at);
  useRepeat(async () => {
    const { data } = await listRuns({ version_id: version.id });
    if (data.items.length === 0) return false;
    runs.put(data);
    return true;
  }, POLL_MS, isWaiting);
  return html`<section class="card" aria-labelledby="runs-title">
    <h2 id="runs-title">Replanning</h2>
    <p>Published ${version.published_at ? formatRecordInstant(version.published_at, SCHEME_ZONE, Date.now()) : "on a day not known"}.</p>
    <${Loaded} of=${runs} lines=${1} size="line">${(/** @type {{ items: Run[] }} */ { items }) =>
      items.length > 0
        ? items.map((run) => html`<${RunProgress} key=${run.id} run=${run} />`)
        : html`<p role="status">${isWaiting ? "Waiting for the replanning to begin…" : "No replanning is on record for this version."}</p>`
    }</${Loaded}>
  </section>`;
}

/**
 * Was a version published so lately that its run may still be coming?
 * @param {string | null} publishedAt
 * @returns {boolean}
 */
function isRecent(publishedAt) {
  return publishedAt !== null && Date.now() - Date.parse(publishedAt) < 600_000;
}
