/** A supervised charge under way: its two times, the answers, and heat at any time. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { FEEL_WORDS, stepState, waitWords } from "../../../lib/first_charge.js";
import { formatLength, formatTime } from "../../../lib/time.js";
import { useNow } from "../../../state/now.js";

/** @typedef {import("../../../api/check_types.d.ts").SupervisedCharge} SupervisedCharge */
/** @typedef {import("../../../api/check_types.d.ts").FeelAnswer} FeelAnswer */
/** @typedef {"first" | "later"} StepName */

const CLOCK_MS = 10_000;

/** @type {Record<StepName, string>} */
const TITLES = { first: "After half an hour", later: "After two hours or more" };

/** @param {{ names: FeelAnswer[], isBusy: boolean, onFeel: (answer: FeelAnswer) => void }} props */
function FeelAnswers({ names, isBusy, onFeel }) {
  return html`<div class="answers">${names.map((name) => html`<button key=${name} type="button" class="button answer" disabled=${isBusy} onClick=${() => onFeel(name)}>${FEEL_WORDS[name]}</button>`)}</div>`;
}

/**
 * @param {{ charge: SupervisedCharge, step: StepName, zone: string, nowMs: number, isBusy: boolean, onFeel: (answer: FeelAnswer) => void }} props
 */
function ClockStep({ charge, step, zone, nowMs, isBusy, onFeel }) {
  const state = stepState(charge, step, nowMs);
  const [feltAt, answer] = step === "first" ? [charge.first_felt_at, charge.first_answer] : [charge.later_felt_at, charge.later_answer];
  return html`<li class=${`clock-step clock-${state}`}><h3>${TITLES[step]}</h3>
    ${state === "done" && html`<p>Felt at ${formatTime(feltAt ?? "", zone)}: ${answer && FEEL_WORDS[answer].toLowerCase()}.${step === "first" ? " No sign so far; it counts only with the second feeling." : ""}</p>`}
    ${state === "wait" && html`<button type="button" class="button answer" disabled>${waitWords(charge, step, nowMs, zone)}</button>`}
    ${state === "due" && html`<p>Feel plug and socket with the back of your hand. How warm are they?</p>
      <${FeelAnswers} names=${["cool", "noticeable", "warm", "too_hot"]} isBusy=${isBusy} onFeel=${onFeel} />`}
  </li>`;
}

/** @param {{ charge: SupervisedCharge, about: string, zone: string, isBusy: boolean, onFeel: (answer: FeelAnswer) => void }} props */
export function ChargeClock({ charge, about, zone, isBusy, onFeel }) {
  const nowMs = useNow(CLOCK_MS);
  const [isHot, setHot] = useState(false);
  const isDue = ["first", "later"].some((step) => stepState(charge, /** @type {StepName} */ (step), nowMs) === "due");
  return html`<section class="card check-card" aria-labelledby="clock"><h2 id="clock">Under way: ${about}</h2>
    <p>Started at ${formatTime(charge.started_at, zone)} with ${charge.current_a} A, ${formatLength(charge.started_at, Math.max(nowMs, Date.parse(charge.started_at)))} ago.
      Stay awake and at home. You may close this page and come back.</p>
    <ol class="clock">${(["first", "later"]).map((step) => html`<${ClockStep} key=${step} charge=${charge} step=${step} zone=${zone} nowMs=${nowMs} isBusy=${isBusy} onFeel=${onFeel} />`)}</ol>
    ${!isDue && (isHot
      ? html`<p>How hot?</p><${FeelAnswers} names=${["warm", "too_hot"]} isBusy=${isBusy} onFeel=${onFeel} />`
      : html`<button type="button" class="button answer" onClick=${() => setHot(true)}>It is warm or hot now</button>`)}
    <p class="small">A smell, a noise, a scorch mark, a tingle? <a href="/incident">Report it</a>; do not wait for the time.</p>
  </section>`;
}
