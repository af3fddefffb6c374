/** The home survey as others read it: how far it is, consents, and what is left for the electrician. */
import { html } from "htm/preact";
import { fileAddress } from "../../api/files.js";
import { getSurvey } from "../../api/survey.js";
import { Facts } from "../../components/facts.js";
import { Loaded } from "../../components/loaded.js";
import { stepTitle } from "../../lib/survey_questions.js";
import { formatDate, formatInstant } from "../../lib/time.js";
import { CONSENT_KIND_WORDS, CONSENT_WORDS } from "../../lib/wording.js";
import { useResource } from "../../state/resource.js";

/** @typedef {import("../../api/survey_types.d.ts").Survey} Survey */

/** @param {{ questions: string[] }} props */
export function ElectricianQuestions({ questions }) {
  if (questions.length === 0) return html`<p>Nothing so far.</p>`;
  return html`<ul>${questions.map((text) => html`<li key=${text}>${text}</li>`)}</ul>`;
}

/**
 * @param {import("../../api/survey_types.d.ts").Consent} consent
 * @param {string} householdId
 */
function consentWords(consent, householdId) {
  return html`${CONSENT_WORDS[consent.answer]}${consent.given_on && `, ${formatDate(consent.given_on)}`}${consent.file_id &&
    html`, <a href=${fileAddress(householdId, consent.file_id)} download>document<span class="unseen"> of the ${CONSENT_KIND_WORDS[consent.kind].toLowerCase()}</span></a>`}`;
}

/** @param {{ home: import("../../api/types.d.ts").Household }} props */
export function SurveySummary({ home }) {
  const survey = useResource((reading) => getSurvey(home.id, reading), [home.id]);
  return html`<section id="survey" class="card" aria-labelledby="survey-title">
    <h2 id="survey-title">Home survey</h2>
    <${Loaded} of=${survey} lines=${3} size="line">${(/** @type {Survey} */ data) => html`
      <p>${data.steps.filter((step) => step.is_complete).length} of ${data.steps.length} steps saved. The answers are the member's own.</p>
      <div class="grid-two">
        <${Facts} rows=${data.steps.map((step) => [stepTitle(step), step.saved_at ? `saved ${formatInstant(step.saved_at, home.zone)}` : "not answered"])} />
        <${Facts} rows=${data.consents.map((consent) => [CONSENT_KIND_WORDS[consent.kind], consentWords(consent, home.id)])} />
      </div>
      <p class="list-title">Left for the electrician</p>
      <${ElectricianQuestions} questions=${data.electrician_questions} />
    `}</${Loaded}>
  </section>`;
}
