/** What an inspection recorded, as names and words, for reading it beside its document. */
import { ALL_FIELDS } from "./inspection_fields.js";
import { YES_NO_WORDS } from "./wording.js";

/**
 * @param {unknown} value as the service holds it: a word, a number, or a reading
 * @param {import("./inspection_fields.js").InspectionField} field
 * @returns {string}
 */
function valueWords(value, field) {
  if (value !== null && typeof value === "object") {
    const { value: figure, not_tested_because: because } = /** @type {{ value?: string | null, not_tested_because?: string }} */ (value);
    if (figure === null || figure === undefined) return because ? `not tested: ${because}` : "not recorded";
    return `${figure} ${field.unit}`;
  }
  if (value === null || value === undefined || value === "") return "not recorded";
  const word = field.options?.find((option) => option.value === String(value))?.label;
  return word ?? [value, field.unit].filter(Boolean).join(" ");
}

/**
 * @param {Record<string, any>} answers
 * @returns {[string, string][]}
 */
export function recordedRows(answers) {
  /** @type {[string, string][]} */
  const rows = ALL_FIELDS.filter(({ isAnswer }) => isAnswer).map((field) => [field.label, valueWords(answers[field.name], field)]);
  const extension = answers.extension;
  if (!extension) return rows;
  const allow = YES_NO_WORDS[extension.instructions_allow ?? "not_known"];
  return [...rows, ["Extension lead named", `${extension.identity}, ${extension.size_mm2} mm², ${extension.length_m} m`], ["Its charging lead's instructions allow one", allow]];
}
