/** Business miles in one's own car that the employer already paid this tax year: they count towards the lower rate. */
import { html } from "htm/preact";
import { getMilesElsewhere, putMilesElsewhere } from "../../api/trips.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { taxYearWords } from "../../lib/claim_words.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/claim_types.d.ts").MilesElsewhere} Miles */

/** @param {{ yearFrom: string, onSaved: () => void }} props */
export function MilesElsewhereForm({ yearFrom, onSaved }) {
  const miles = useResource((reading) => getMilesElsewhere(ownHouseholdId(), reading), []);
  const submission = useSubmission({ onStale: miles.reload });
  return html`<${Loaded} of=${miles} lines=${1} size="line">${(/** @type {{ items: Miles[] }} */ { items }) => {
    const rest = items.filter(({ tax_year_from_on: from }) => from !== yearFrom);
    const mine = items.find(({ tax_year_from_on: from }) => from === yearFrom);
    /** @type {import("../../lib/form_values.js").FieldSpec[]} */
    const fields = [{
      name: "miles", label: "Miles already claimed elsewhere this tax year", kind: "decimal", unit: "miles",
      hint: `${taxYearWords(yearFrom)}, in your own car, from this employer, claimed any other way than here. Empty where there were none.`,
    }];
    const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
      const text = String(values.miles).trim();
      const { data, etag } = await putMilesElsewhere(ownHouseholdId(), text ? [...rest, { tax_year_from_on: yearFrom, miles: text }] : rest, miles.etag);
      miles.put(data, etag);
      say("Miles claimed elsewhere saved.");
      onSaved();
    });
    return html`<${SpecForm} fields=${fields} start=${{ miles: mine ? String(Number(mine.miles)) : "" }} action="Save" submission=${submission} onSubmit=${save}
      faultFields=${Object.fromEntries([...rest, 0].map((_, place) => [`items.${place}.miles`, "miles"]))} />`;
  }}</${Loaded}>`;
}
