/** One version: a draft can be edited, previewed, published or thrown away; a published one is read, with its progress. */
import { html } from "htm/preact";
import { useMemo, useState } from "preact/hooks";
import { deleteVersion, getTariff, getVersion, saveVersion } from "../../api/tariffs.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { entryOf } from "../../lib/rate_bands.js";
import { versionName } from "../../lib/tariff_words.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { go } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";
import { VersionEditor } from "./version_editor.js";
import { VersionPreview } from "./version_preview.js";
import { VersionRuns } from "./version_runs.js";
import { VersionSheets } from "./version_sheets.js";

/** @typedef {import("../../api/types.d.ts").Tariff} Tariff */
/** @typedef {import("../../api/types.d.ts").Version} Version */
/** @typedef {import("../../state/resource.js").Resource<Version>} VersionResource */

/** @param {{ version: VersionResource, tariff: Tariff }} props */
function Draft({ version, tariff }) {
  const stored = /** @type {Version} */ (version.data);
  const [isDirty, setDirty] = useState(false);
  const submission = useSubmission({ onStale: version.reload });
  const start = useMemo(() => entryOf(stored), [stored]);
  const save = (/** @type {import("../../api/types.d.ts").VersionEntry} */ entry) => submission.run(async () => {
    const { data, etag } = await saveVersion(tariff.id, stored.id, entry, version.etag);
    version.put(data, etag);
    say("Draft saved.");
  });
  const discard = async () => {
    const isSure = await askConfirm({ title: "Throw this draft away?", text: "The draft's entries are lost. No home is affected.", action: "Throw away" });
    if (!isSure) return;
    await submission.run(async () => {
      await deleteVersion(tariff.id, stored.id, version.etag);
      say("Draft thrown away.");
      go(`/tariffs/${tariff.id}`, { isAsked: true });
    });
  };
  return html`
    <${VersionPreview} key=${version.etag} version=${stored} isDirty=${isDirty} onPublished=${version.reload} />
    <h2>Entries of this draft</h2>
    <${VersionEditor} start=${start} tariff=${tariff} submission=${submission} action="Save draft" onSave=${save} onDirty=${setDirty} />
    <button type="button" class="button button-quiet" onClick=${discard}>Throw this draft away</button>
  `;
}

/** @param {{ tariffId: string, versionId: string }} props */
export function VersionPage({ tariffId, versionId }) {
  const tariff = useResource((reading) => getTariff(tariffId, reading), [tariffId]);
  const version = useResource((reading) => getVersion(tariffId, versionId, reading), [versionId]);
  const isPublished = Boolean(version.data?.published_at);
  const title = version.data ? `${tariff.data?.name ?? "Tariff"}: ${versionName(version.data)}` : "Tariff version";
  return html`<${Page} title=${title} class="page-admin"
    lead=${html`<a href=${`/tariffs/${tariffId}`}>All versions of ${tariff.data?.name ?? "this tariff"}</a>`}>
    <${Loaded} of=${tariff} lines=${1} size="card">${(/** @type {Tariff} */ tariffData) => html`
      <${Loaded} of=${version} lines=${3} size="card">${(/** @type {Version} */ data) =>
        isPublished
          ? html`<${VersionRuns} version=${data} /><${VersionSheets} version=${data} tariff=${tariffData} />`
          : html`<${Draft} version=${version} tariff=${tariffData} />`
      }</${Loaded}>`}</${Loaded}>
  </${Page}>`;
}
