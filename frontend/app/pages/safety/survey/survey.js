/** The home survey: one step a screen, saved step by step, gone on with where it was left. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getHousehold } from "../../../api/home.js";
import { getSurvey, saveStep } from "../../../api/survey.js";
import { Loaded } from "../../../components/loaded.js";
import { Page } from "../../../components/page.js";
import { Progress } from "../../../components/progress.js";
import { firstOpen, placeAfter, stepTitle } from "../../../lib/survey_questions.js";
import { NATION_WORDS } from "../../../lib/wording.js";
import { askConfirm } from "../../../state/confirm.js";
import { useResource } from "../../../state/resource.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";
import { mayLeave } from "../../../state/unsaved.js";
import { StoppedByExtension } from "./stopped_by_extension.js";
import { SurveyEnd } from "./survey_end.js";
import { SurveyStep } from "./survey_step.js";

/** @typedef {import("../../../api/types.d.ts").Household} Household */
/** @typedef {import("../../../api/survey_types.d.ts").Survey} Survey */

/** @param {{ survey: import("../../../state/resource.js").Resource<Survey>, home: import("../../../state/resource.js").Resource<Household> }} props */
function Steps({ survey, home }) {
  const data = /** @type {Survey} */ (survey.data);
  const household = /** @type {Household} */ (home.data);
  const [place, setPlace] = useState(() => firstOpen(data.steps));
  const [hasMoved, setMoved] = useState(false);
  const [justSaved, setJustSaved] = useState("");
  const [isStopped, setStopped] = useState(false);
  const submission = useSubmission({ onStale: survey.reload });
  const move = (/** @type {number} */ next) => {
    submission.clear();
    setStopped(false);
    setMoved(true);
    setPlace(next);
    scrollTo(0, 0);
  };
  const open = async (/** @type {number} */ next) => {
    if (!(await mayLeave())) return;
    setJustSaved("");
    move(next);
  };
  const step = data.steps[place];
  const saved = data.steps.filter((each) => each.is_complete).length;
  const save = async (/** @type {Record<string, unknown>} */ answers) => {
    const isNewStop = answers.uses_extension === "yes" && step.answers.uses_extension !== "yes";
    if (isNewStop && !(await askConfirm({
      title: "Is that right?", text: "An extension lead is used between the socket and the charging lead. Charging from the socket stops at once, and everybody concerned is told.",
      action: "Yes, that is right", stay: "No, go back",
    }))) return;
    await submission.run(async () => {
      const answer = await saveStep(household.id, step, answers, survey.etag);
      survey.put(answer.data, answer.etag);
      home.reload();
      setJustSaved(`Saved: ${stepTitle(step)}.`);
      move(isNewStop ? place : placeAfter(answer.data.steps, step));
      setStopped(isNewStop);
    });
  };
  const progress = step ? `Step ${place + 1} of ${data.steps.length}; ${saved} saved. You can leave and go on later.` : `${saved} of ${data.steps.length} steps saved.`;
  return html`<${Progress} label="How far you are" done=${step ? place : data.steps.length} total=${data.steps.length} text=${progress} />
    <p class="just-saved" role="status">${submission.isBusy ? "Saving…" : submission.problem ? "Not saved." : justSaved}</p>
    ${step && isStopped
      ? html`<${StoppedByExtension} home=${household} reload=${home.reload} onGoOn=${() => move(placeAfter(data.steps, step))} />`
      : step
      ? html`<${SurveyStep} key=${`${step.step}-${step.item_id}`} householdId=${household.id} zone=${household.zone} step=${step} hasMoved=${hasMoved} submission=${submission}
          onSave=${save} onBack=${place > 0 ? () => open(place - 1) : null}>
          ${step.step === "home" && html`<p>Your home is recorded in <strong>${NATION_WORDS[household.nation]}</strong>. If that is wrong, tell your scheme's administrator.</p>`}
        </${SurveyStep}>`
      : html`<${SurveyEnd} survey=${data} home=${household} hasMoved=${hasMoved} onOpen=${open} />`}`;
}

/** The member's survey. */
export function SurveyPage() {
  const householdId = ownHouseholdId();
  const survey = useResource((reading) => getSurvey(householdId, reading), [householdId]);
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  return html`<${Page} title="Home survey" class="page-member page-narrow" lead="About five minutes. “I do not know” is a good answer: the electrician will be asked instead.">
    <${Loaded} of=${survey} lines=${2}>${() => html`<${Loaded} of=${home} lines=${2}>${() => html`<${Steps} survey=${survey} home=${home} />`}</${Loaded}>`}</${Loaded}>
  </${Page}>`;
}
