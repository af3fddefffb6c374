/** The home's tariff contracts, now, before and after. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listTariffs } from "../../api/tariffs.js";
import { contractFields } from "../../lib/home_fields.js";
import { formatPounds } from "../../lib/money.js";
import { formatDate } from "../../lib/time.js";
import { CLOCK_WORDS } from "../../lib/wording.js";
import { useResource } from "../../state/resource.js";
import { PartEdit } from "./part_edit.js";
import { PartForm } from "./part_form.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").Contract} Contract */

/**
 * @param {Contract} contract
 * @returns {string}
 */
export function contractWords(contract) {
  const end = contract.ends_on ? `until ${formatDate(contract.ends_on)}` : "without an end";
  const clock = contract.clock ? `, meter on ${CLOCK_WORDS[contract.clock]}` : "";
  const windows = contract.windows.map(({ band, starts_at: from, ends_at: until }) => `${band} ${from} to ${until}`).join(", ");
  const fee = contract.exit_fee_pence === null ? "an amount that is not known" : formatPounds(String(contract.exit_fee_pence));
  const fixed = contract.fixed_until_on ? `; fixed until ${formatDate(contract.fixed_until_on)}, leaving earlier costs ${fee}` : "";
  return `From ${formatDate(contract.starts_on)} ${end}${clock}${windows && `; own meter windows: ${windows}`}${fixed}`;
}

/** @param {{ home: Household, onChange: () => void }} props */
export function HomeContracts({ home, onChange }) {
  const tariffs = useResource((reading) => listTariffs(reading), []);
  const [edited, setEdited] = useState("");
  const fields = contractFields(tariffs.data?.items ?? []);
  return html`<section id="contracts" class="card" aria-labelledby="contracts-title">
    <h2 id="contracts-title">Tariff contracts</h2>
    ${home.contracts.length === 0 && html`<p>No contract is recorded, so prices are not known.</p>`}
    <ul class="row-list">${home.contracts.map((contract) => html`<li key=${contract.id} class="row-item">
      ${edited === contract.id
        ? html`<${PartEdit} householdId=${home.id} part="contracts" partId=${contract.id} fields=${fields} done="Contract saved; the plan is being worked out anew."
            onChange=${onChange} onCancel=${() => setEdited("")} />`
        : html`<div><p><strong><a href=${`/tariffs/${contract.tariff_id}`}>${contract.tariff_name}</a></strong></p><p class="small">${contractWords(contract)}</p></div>
            <button type="button" class="button button-quiet" onClick=${() => setEdited(contract.id)}>Change<span class="unseen"> the contract for ${contract.tariff_name}</span></button>`}
    </li>`)}</ul>
    ${tariffs.data && html`<${PartForm} householdId=${home.id} part="contracts" button="Add a contract" fields=${fields}
      extra=${{ windows: [] }} done="Contract added; the plan is being worked out anew." onChange=${onChange} />`}
  </section>`;
}
