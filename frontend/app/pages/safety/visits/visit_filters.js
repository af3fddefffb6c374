/** Which visits are shown, and in which order. */
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Field } from "../../../components/field.js";
import { VISIT_STATE_WORDS } from "../../../lib/inspection_words.js";
import { VISIT_SORTS } from "../../../lib/visit_query.js";
import { choices } from "../../../lib/wording.js";

const TYPING_MS = 250;

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "state", label: "State", kind: "select", options: [{ value: "", label: "Any" }, ...choices(VISIT_STATE_WORDS)] },
  { name: "sort", label: "Order", kind: "select", options: VISIT_SORTS },
];

/**
 * @param {{
 *   query: import("../../../lib/visit_query.js").VisitQuery,
 *   onChange: (change: Partial<import("../../../lib/visit_query.js").VisitQuery>) => void,
 * }} props
 */
export function VisitFilters({ query, onChange }) {
  const [area, setArea] = useState(query.area);
  const timer = useRef(/** @type {ReturnType<typeof setTimeout> | undefined} */ (undefined));
  useEffect(() => setArea(query.area), [query.area]);
  useEffect(() => () => clearTimeout(timer.current), []);
  const type = (/** @type {string} */ text) => {
    setArea(text);
    clearTimeout(timer.current);
    timer.current = setTimeout(() => onChange({ area: text.trim().toUpperCase() }), TYPING_MS);
  };
  return html`<form class="filters" role="search" onSubmit=${(/** @type {Event} */ event) => event.preventDefault()}>
    ${FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${/** @type {any} */ (query)[spec.name]} onInput=${(/** @type {string} */ value) => onChange({ [spec.name]: value })} />`)}
    <${Field} spec=${{ name: "area", label: "Area", kind: "text", hint: "First part of the postcode." }} value=${area} onInput=${type} />
  </form>`;
}
