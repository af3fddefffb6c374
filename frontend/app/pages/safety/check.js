/** The member's check of an outlet and lead: look, smell, listen, then grip, about a minute. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { checkPath, getSigns, recordCheck } from "../../api/checks.js";
import { getHousehold } from "../../api/home.js";
import { Cautions } from "../../components/cautions.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { answersBefore, answersToSend, nextQuestion, openIn, startPair } from "../../lib/check_flow.js";
import { askConfirm } from "../../state/confirm.js";
import { useResource } from "../../state/resource.js";
import { url } from "../../state/router.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { CheckReview, CheckSaved } from "./check/check_end.js";
import { CheckQuestion } from "./check/check_question.js";
import { ChoosePair, isChosen, pairWords } from "./check/choose_pair.js";
import { StopAnswer } from "./check/stop_answer.js";
import { useStop } from "./check/use_stop.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/check_types.d.ts").SignTable} SignTable */
/** @typedef {import("../../api/check_types.d.ts").Question} Question */

/** @param {{ home: Household, pair: import("./check/choose_pair.js").Pair, onPair: (pair: any) => void, onStart: () => void }} props */
function CheckStart({ home, pair, onPair, onStart }) {
  return html`<section class="card check-card" aria-labelledby="before">
      <h2 id="before">Before you start</h2>
      <p>Leave the charge off. Look first, then smell and listen, and only then grip the plug. Never touch anything that is scorched, wet or crackling.</p>
      <${ChoosePair} home=${home} pair=${pair} onPair=${onPair} />
      <div class="form-actions"><button type="button" class="button button-main answer" disabled=${!isChosen(home, pair)} onClick=${onStart}>Start the check</button></div>
    </section>
    <${Cautions} names=${["do_not_open", "stop"]} />`;
}

/** @param {{ home: Household, table: SignTable, stop: ReturnType<typeof useStop> }} props */
function CheckFlow({ home, table, stop }) {
  const { questions } = table;
  const [pair, setPair] = useState(() => startPair(home, new URLSearchParams(url.value.split("?")[1])));
  const [isStarted, setStarted] = useState(false);
  const [given, setGiven] = useState(/** @type {import("../../lib/check_flow.js").Given} */ ({}));
  const [saved, setSaved] = useState(/** @type {import("../../api/check_types.d.ts").CheckReply | null} */ (null));
  const submission = useSubmission();
  const about = pairWords(home, pair);
  const entry = (/** @type {import("../../lib/check_flow.js").Given} */ answers, note = "") =>
    ({ outlet_id: pair.outletId, lead_id: pair.leadId || null, answers: answersToSend(questions, answers), note });

  const answer = async (/** @type {Question} */ question, /** @type {string} */ name) => {
    const chosen = question.answers.find((one) => one.answer === name);
    const answers = { ...given, [question.question]: name };
    if (!chosen?.sign) return setGiven(answers);
    const isRight = await askConfirm({
      title: "Is that right?", text: `${question.words} ${chosen.words}. Charging here is then stopped at once.`,
      action: "Yes, that is right", stay: "No, go back",
    });
    if (!isRight) return undefined;
    return stop.start(table, chosen.sign, checkPath(home.id), entry(answers));
  };
  const back = () => {
    const asked = questions.filter(({ question }) => given[question]);
    const last = asked[asked.length - 1];
    if (last) setGiven(answersBefore(questions, given, last.question));
    else setStarted(false);
  };
  const again = (/** @type {string} */ question) => {
    setGiven(Object.fromEntries(Object.entries(given).filter(([asked]) => asked !== question)));
  };
  const save = (/** @type {string} */ note) => submission.run(async (key) => setSaved((await recordCheck(home.id, entry(given, note), key)).data));

  const anew = () => {
    setGiven({});
    setSaved(null);
    setStarted(false);
  };
  if (saved) return html`<${CheckSaved} about=${about} isClear=${saved.is_clear} onAgain=${anew} />`;
  if (!isStarted) return html`<${CheckStart} home=${home} pair=${pair} onPair=${setPair} onStart=${() => setStarted(true)} />`;
  const question = nextQuestion(questions, given);
  if (!question) return html`<${CheckReview} about=${about} open=${openIn(questions, given)} submission=${submission} onAgain=${again} onSave=${save} />`;
  return html`<${CheckQuestion} question=${question} about=${about} place=${questions.indexOf(question) + 1} total=${questions.length}
    onAnswer=${(/** @type {string} */ name) => answer(question, name)} onBack=${back} />`;
}

/** The check. */
export function CheckPage() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  const table = useResource((reading) => getSigns(householdId, reading), [householdId]);
  const stop = useStop(householdId);
  return html`<${Page} title="Check before you charge" class="page-member page-check">
    ${stop.answer ? html`<${StopAnswer} answer=${stop.answer} stop=${stop} />` : html`<${Loaded} of=${home} lines=${1}>${(/** @type {Household} */ data) => data.outlets.length === 0
      ? html`<${Empty} title="No outlet has been recorded for this home"><p>Enter it in the <a href="/survey">home survey</a>, or ask your scheme's administrator.</p></${Empty}>`
      : html`<${Loaded} of=${table} lines=${1}>${(/** @type {SignTable} */ signs) => html`<${CheckFlow} home=${data} table=${signs} stop=${stop} />`}</${Loaded}>`
    }</${Loaded}>`}
  </${Page}>`;
}
