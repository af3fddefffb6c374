/** A new draft version: starts from the version valid last, so that only what changes has to be entered. */
import { html } from "htm/preact";
import { useMemo } from "preact/hooks";
import { addVersion, getTariff, getVersion } from "../../api/tariffs.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { newDraft } from "../../lib/rate_bands.js";
import { latestVersion } from "../../lib/tariff_words.js";
import { addDays, localDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { go } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";
import { SCHEME_ZONE } from "./tariff.js";
import { VersionEditor } from "./version_editor.js";

/** @typedef {import("../../api/types.d.ts").Tariff} Tariff */
/** @typedef {import("../../api/types.d.ts").Version} Version */
/** @typedef {import("../../api/types.d.ts").VersionEntry} VersionEntry */

/**
 * The tariff and the version to start from.
 * @param {string} tariffId
 * @param {{ signal: AbortSignal }} reading
 */
async function readStart(tariffId, reading) {
  const tariff = (await getTariff(tariffId, reading)).data;
  const latest = latestVersion(tariff);
  const like = latest ? (await getVersion(tariffId, latest.id, reading)).data : null;
  return { data: { tariff, like }, etag: null, status: 200 };
}

/** @param {{ tariff: Tariff, like: Version | null }} props */
function NewDraft({ tariff, like }) {
  const submission = useSubmission();
  const start = useMemo(() => newDraft(tariff.kind, like, addDays(localDay(Date.now(), SCHEME_ZONE), 1)), [tariff, like]);
  const save = (/** @type {VersionEntry} */ entry) => submission.run(async (key) => {
    const { data } = await addVersion(tariff.id, entry, key);
    say("Draft saved. Look at the preview, then publish it.");
    go(`/tariffs/${tariff.id}/${data.id}`, { isAsked: true });
  });
  return html`<${VersionEditor} start=${start} tariff=${tariff} submission=${submission} action="Save as draft" isNew onSave=${save} />`;
}

/** @param {{ tariffId: string }} props */
export function NewVersionPage({ tariffId }) {
  const both = useResource((reading) => readStart(tariffId, reading), [tariffId]);
  const name = both.data?.tariff.name ?? "the tariff";
  return html`<${Page} title=${`New version of ${name}`} class="page-admin"
    lead=${html`<a href=${`/tariffs/${tariffId}`}>Back to ${name}</a>. Nothing changes for any home until the version is published.`}>
    <${Loaded} of=${both} lines=${4} size="card">${
      (/** @type {{ tariff: Tariff, like: Version | null }} */ data) => html`<${NewDraft} tariff=${data.tariff} like=${data.like} />`
    }</${Loaded}>
  </${Page}>`;
}
