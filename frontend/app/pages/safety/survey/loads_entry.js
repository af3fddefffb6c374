/** Other large loads of the home: no, yes with its power, or not known. */
import { html } from "htm/preact";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { ASKED_LOADS, UNKNOWN } from "../../../lib/survey_questions.js";
import { LOAD_WORDS } from "../../../lib/wording.js";
import { KnownEntry } from "./known_entry.js";

const OPTIONS = [{ value: "yes", label: "Yes" }, { value: "no", label: "No" }, UNKNOWN];

/**
 * @param {{
 *   question: import("../../../lib/survey_questions.js").Question,
 *   value: Record<string, { has: string, kw: string }>,
 *   onInput: (value: Record<string, { has: string, kw: string }>) => void,
 *   fault?: string,
 * }} props
 */
export function LoadsEntry({ question, value, onInput, fault = "" }) {
  const put = (/** @type {string} */ kind, /** @type {object} */ change) => onInput({ ...value, [kind]: { ...value[kind], ...change } });
  return html`<div class="loads-entry">
    <h3>${question.label}</h3>
    <p class="hint">${question.hint}</p>
    ${ASKED_LOADS.map((kind) => html`<div key=${kind} class="load">
      <${ChoiceGroup} spec=${{ name: kind, label: LOAD_WORDS[kind], kind: "select", options: OPTIONS }} value=${value[kind].has}
        onInput=${(/** @type {string} */ has) => put(kind, { has })} />
      ${value[kind].has === "yes" && html`<${KnownEntry} question=${{ kind: "number", name: `${kind}_kw`, label: `${LOAD_WORDS[kind]}: how much?`, unit: "kW", min: 0.1, max: 100, step: 0.001 }}
        value=${value[kind].kw} onInput=${(/** @type {string} */ kw) => put(kind, { kw })} />`}
    </div>`)}
    ${fault && html`<p class="fault">${fault}</p>`}
  </div>`;
}
