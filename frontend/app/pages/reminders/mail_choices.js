/** A person's own settings of mail: tips on or off, and the number to ring about safety. */
import { html } from "htm/preact";
import { changeMailSettings, getMailSettings } from "../../api/reminders.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").MailSettings} MailSettings */
/** @typedef {import("../../lib/form_values.js").FormValues} FormValues */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "tips", label: "Send me tips: mail when charging times move", kind: "tick", hint: "Safety notices and reminders of what falls due are always sent." },
  { name: "telephone", label: "Number to ring about safety", kind: "text", autocomplete: "tel", hint: "Rung when a safety notice is unread for 24 hours. Seen by those who run your scheme. Leave empty for none." },
];

/** The form, filled with what holds now. */
export function MailChoices() {
  const settings = useResource((reading) => getMailSettings(reading), []);
  const submission = useSubmission({ onStale: settings.reload });
  const save = (/** @type {FormValues} */ values) => submission.run(async () => {
    const { data, etag } = await changeMailSettings({ tips_muted: values.tips !== true, telephone: String(values.telephone).trim() }, settings.etag);
    settings.put(data, etag);
    say("Saved.");
  });
  return html`<section class="card" aria-labelledby="mail-title"><h2 id="mail-title">Mail to you</h2>
    <${Loaded} of=${settings} lines=${1} size="card">${(/** @type {MailSettings} */ data) => html`<${SpecForm} key=${settings.etag} fields=${FIELDS}
      start=${{ tips: !data.tips_muted, telephone: data.telephone }} action="Save" submission=${submission} onSubmit=${save} />`}</${Loaded}>
  </section>`;
}
