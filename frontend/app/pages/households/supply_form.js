/** Record what is known of a home's supply. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getSupply, putSupply } from "../../api/households.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { LOAD_FIELDS, SUPPLY_FIELDS, loadEntries, loadsOf } from "../../lib/home_fields.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */

/** @param {{ home: Household, onSaved: () => void, onCancel: () => void }} props */
function OpenSupplyForm({ home, onSaved, onCancel }) {
  const stored = useResource((reading) => getSupply(home.id, reading), [home.id]);
  const submission = useSubmission({ onStale: stored.reload });
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    await putSupply(home.id, { ...bodyOf(SUPPLY_FIELDS, values), loads: loadsOf(bodyOf(LOAD_FIELDS, values)) }, stored.etag);
    say("Supply saved.");
    onSaved();
  });
  return html`<div class="inset"><${Loaded} of=${stored} lines=${3} size="line">${(/** @type {import("../../api/types.d.ts").Supply} */ supply) => html`
    <${SpecForm} fields=${[...SUPPLY_FIELDS, ...LOAD_FIELDS]} start=${{ ...startValues(SUPPLY_FIELDS, supply), ...loadEntries(supply.loads) }} action="Save supply" submission=${submission}
      onSubmit=${save} onCancel=${onCancel} />`}</${Loaded}></div>`;
}

/** @param {{ home: Household, onChange: () => void }} props */
export function SupplyForm({ home, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const close = () => setOpen(false);
  const saved = () => {
    close();
    onChange();
  };
  if (isOpen) return html`<${OpenSupplyForm} home=${home} onSaved=${saved} onCancel=${close} />`;
  return html`<button type="button" class="button" onClick=${() => setOpen(true)}>${home.supply ? "Change the supply" : "Record the supply"}</button>`;
}
