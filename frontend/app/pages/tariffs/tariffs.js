/** The scheme's tariffs, and adding one. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addTariff, listTariffUses, listTariffs } from "../../api/tariffs.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { currentVersion, homesOn } from "../../lib/tariff_words.js";
import { formatDate } from "../../lib/time.js";
import { CLOCK_WORDS, TARIFF_KIND_WORDS, choices } from "../../lib/wording.js";
import { say } from "../../state/notices.js";
import { go } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";
import { OcpiImport } from "./ocpi_import.js";

/** @typedef {import("../../api/types.d.ts").Tariff} Tariff */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "name", label: "Name", kind: "text", isRequired: true },
  { name: "kind", label: "Prices", kind: "select", options: choices(TARIFF_KIND_WORDS) },
  { name: "clock", label: "Clock of its times", kind: "select", options: choices(CLOCK_WORDS) },
];

/** @param {{ onCancel: () => void }} props */
function NewTariff({ onCancel }) {
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const { data } = await addTariff(bodyOf(FIELDS, values), key);
    say(`${data.name} added. Next: its first version.`);
    go(`/tariffs/${data.id}/new`, { isAsked: true });
  });
  return html`<section class="card" aria-labelledby="new-tariff"><h2 id="new-tariff">Add a tariff</h2>
    <${SpecForm} fields=${FIELDS} start=${startValues(FIELDS)} action="Add tariff" submission=${submission} onSubmit=${save} onCancel=${onCancel} /></section>`;
}

/** @param {{ tariff: Tariff, homeCount: number | null }} props */
function TariffRow({ tariff, homeCount }) {
  const current = currentVersion(tariff);
  const drafts = tariff.versions.filter((version) => version.published_at === null).length;
  return html`<tr>
    <th scope="row"><a href=${`/tariffs/${tariff.id}`}>${tariff.name}</a></th>
    <td data-name="Prices">${TARIFF_KIND_WORDS[tariff.kind]}</td>
    <td data-name="Clock">${CLOCK_WORDS[tariff.clock]}</td>
    <td data-name="In force">${current ? `${current.label || "Version"}, from ${formatDate(current.valid_from_on)}` : "none yet"}</td>
    <td data-name="Drafts" class="number">${drafts}</td>
    <td data-name="Homes" class="number">${homeCount ?? "…"}</td>
  </tr>`;
}

/** Tariffs. */
export function TariffsPage() {
  const tariffs = useResource((reading) => listTariffs(reading), []);
  const uses = useResource((reading) => listTariffUses(reading), []);
  const countOf = (/** @type {string} */ id) => uses.data && homesOn(uses.data.items, id);
  const [adding, setAdding] = useState(/** @type {"" | "new" | "ocpi"} */ (""));
  const add = html`<button type="button" class="button" onClick=${() => setAdding("ocpi")}>Bring in an OCPI tariff</button>
    <button type="button" class="button button-main" onClick=${() => setAdding("new")}>Add a tariff</button>`;
  return html`<${Page} title="Tariffs" class="page-admin" actions=${!adding && add}
    lead="A new version is prepared as a draft, looked at in a preview, and then published; every affected home is replanned.">
    ${adding === "new" && html`<${NewTariff} onCancel=${() => setAdding("")} />`}
    ${adding === "ocpi" && html`<${OcpiImport} onCancel=${() => setAdding("")} />`}
    <${Loaded} of=${tariffs} lines=${5} size="line">${(/** @type {{ items: Tariff[] }} */ { items }) =>
      items.length === 0
        ? html`<${Empty} title="No tariff yet"><p>Add the tariffs that the homes are on; without one, prices are not known.</p></${Empty}>`
        : html`<div class="table-box" tabindex="0" role="region" aria-label="Table of tariffs"><table class="table stacking dense">
            <thead><tr><th scope="col">Tariff</th><th scope="col">Prices</th><th scope="col">Clock</th><th scope="col">In force</th>
              <th scope="col" class="number">Drafts</th><th scope="col" class="number">Homes</th></tr></thead>
            <tbody>${items.map((tariff) => html`<${TariffRow} key=${tariff.id} tariff=${tariff} homeCount=${countOf(tariff.id)} />`)}</tbody></table></div>`
    }</${Loaded}>
  </${Page}>`;
}
