/** What a circuit may carry and how much voltage it loses, with the working. */
import { html } from "htm/preact";
import { getCircuitArithmetic } from "../../api/survey.js";
import { Cautions } from "../../components/cautions.js";
import { Facts } from "../../components/facts.js";
import { Loaded } from "../../components/loaded.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { exactAmps, exactVolts, refusalWords } from "../../lib/arithmetic_words.js";
import { useResource } from "../../state/resource.js";

/** @typedef {import("../../api/survey_types.d.ts").CircuitArithmetic} Found */

/** @type {Record<string, string>} */
const ANSWER_WORDS = { passes: "within its limit", fails: "beyond its limit", not_known: "not known" };
/** @type {Record<string, string>} */
const CIRCUIT_WORDS = {
  passes: "it may carry the car's current", fails: "it may not carry the car's current", not_known: "not known: what else it carries, or data of a run, is not recorded",
};

/** @param {Found} found @returns {[string, unknown][]} */
function rows(found) {
  const drop = found.drop_v === null ? "not known" : `${exactVolts(found.drop_v)} of ${exactVolts(found.drop_limit_v)}: ${ANSWER_WORDS[found.drop_answer]}`;
  return [
    ["Car's current", exactAmps(found.current_a)],
    ["Answer", CIRCUIT_WORDS[found.answer]],
    ["Weakest run", found.capacity_a === null ? "not known" : `${exactAmps(found.capacity_a)}, ${found.governed_by}`],
    ["Voltage drop", drop],
    ...found.rings.map((ring) => /** @type {[string, unknown]} */ ([`Ring, ${ring.label}`,
      `${exactAmps(ring.leg_a)} and ${exactAmps(ring.other_leg_a)}${ring.is_worst_place ? ", at the worst place" : ""}`])),
  ];
}

/** @param {{ householdId: string, circuitId: string }} props */
export function CircuitArithmetic({ householdId, circuitId }) {
  const found = useResource((reading) => getCircuitArithmetic(householdId, circuitId, reading), [householdId, circuitId]);
  return html`<${Loaded} of=${found} lines=${3} size="line">${(/** @type {Found} */ data) => html`
    <${Facts} rows=${rows(data)} />
    ${data.runs.some(({ missing }) => missing.length > 0) && html`<p class="list-title">Not known</p>
      <ul>${data.runs.filter(({ missing }) => missing.length > 0).map((run) => html`<li key=${run.label}>${run.label}: ${run.missing.join(", ")}</li>`)}</ul>`}
    ${data.refused.length > 0 && html`<div class="note note-warn"><p class="note-title">Beyond the tables, so not worked out</p>
      <ul>${data.refused.map((one) => html`<li key=${one.field}>${refusalWords(one)}</li>`)}</ul></div>`}
    <${Cautions} names=${["tables", "voltage"]} />
    ${data.working.length > 0 && html`<${WorkingSteps} steps=${data.working} />`}
  `}</${Loaded}>`;
}
