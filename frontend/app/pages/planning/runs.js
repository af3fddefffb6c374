/** All replanning of the scheme, the latest first. */
import { html } from "htm/preact";
import { listRuns } from "../../api/planning.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import { url } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { RunProgress } from "./run_progress.js";

/** @typedef {import("../../api/types.d.ts").Paged<import("../../api/types.d.ts").Run>} RunList */

const PAGE_SIZE = 50;

/** Replanning. */
export function RunsPage() {
  const page = Math.max(1, Number(new URLSearchParams(url.value.split("?")[1] ?? "").get("page")) || 1);
  const runs = useResource((reading) => listRuns({ page }, reading), [page]);
  return html`<${Page} title="Replanning" class="page-admin" lead="When a tariff, a price or a home's entry changes, the affected homes are planned anew."
    actions=${html`<button type="button" class="button" onClick=${runs.reload}>Look again</button>`}>
    <${Loaded} of=${runs} lines=${3} size="card">${(/** @type {RunList} */ { items, total, page_size: size }) =>
      items.length === 0
        ? html`<${Empty} title="Nothing has been replanned yet"><p>Publish a tariff version to see it here.</p></${Empty}>`
        : html`${items.map((run) => html`<div class="card" key=${run.id + run.done_count}><${RunProgress} run=${run} /></div>`)}
            <${Pager} page=${page} pageSize=${size ?? PAGE_SIZE} total=${total} noun="runs" hrefOf=${(/** @type {number} */ to) => `/runs?page=${to}`} />`
    }</${Loaded}>
  </${Page}>`;
}
