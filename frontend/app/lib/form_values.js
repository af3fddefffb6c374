/** From what a form holds (texts and ticks) to what the service takes, guided by a list of field descriptions. */

/**
 * @typedef {object} FieldSpec
 * @property {string} name dotted path, equal to the service's pointer
 * @property {string} label
 * @property {"text" | "email" | "password" | "number" | "decimal" | "date" | "time" | "select" | "tick" | "ticks" | "long" | "numbers"} kind
 *   number becomes a JSON number, decimal stays an exact text, numbers become a list of numbers, ticks a list of options
 * @property {string} [hint]
 * @property {{ value: string, label: string }[]} [options]
 * @property {boolean} [isRequired]
 * @property {boolean} [isNullable] an empty entry is sent as null
 * @property {string} [unit]
 * @property {number | string} [min]
 * @property {number | string} [max]
 * @property {number | string} [step]
 * @property {string} [autocomplete]
 * @property {number} [factor] how many of the service's units make one on screen: 60 for seconds shown as minutes
 */

/** @typedef {Record<string, string | boolean>} FormValues */

/**
 * The values a form starts with, from a resource or nothing.
 * @param {FieldSpec[]} fields
 * @param {object | null} [resource]
 * @returns {FormValues}
 */
export function startValues(fields, resource = null) {
  const source = /** @type {Record<string, unknown>} */ (resource ?? {});
  return Object.fromEntries(fields.map((field) => {
    const value = source[field.name];
    if (field.kind === "tick") return [field.name, value === true];
    if (value === null || value === undefined) return [field.name, field.kind === "ticks" ? "" : field.options?.[0]?.value ?? ""];
    return [field.name, String(field.factor ? Number(value) / field.factor : value)];
  }));
}

/**
 * One entry as the service takes it.
 * @param {FieldSpec} field
 * @param {string | boolean} value
 * @returns {string | number | boolean | number[] | string[] | null}
 */
function sent(field, value) {
  if (typeof value === "boolean") return value;
  const text = value.trim();
  if (field.kind === "numbers") return text.split(/[\s,;]+/).filter(Boolean).map(Number);
  if (field.kind === "ticks") return text.split(",").filter(Boolean);
  if (text === "") return field.isNullable || field.kind === "number" ? null : "";
  return field.kind === "number" ? Number((Number(text) * (field.factor ?? 1)).toFixed(6)) : text;
}

/**
 * The body to send.
 * @param {FieldSpec[]} fields
 * @param {FormValues} values
 * @returns {Record<string, any>}
 */
export function bodyOf(fields, values) {
  return Object.fromEntries(fields.map((field) => [field.name, sent(field, values[field.name] ?? "")]));
}

/**
 * Do two states of a form differ?
 * @param {unknown} left
 * @param {unknown} right
 * @returns {boolean}
 */
export function differs(left, right) {
  return JSON.stringify(left) !== JSON.stringify(right);
}
