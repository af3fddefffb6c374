/** Search and filters over the homes. */
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Field } from "../../components/field.js";
import { SORTS } from "../../lib/household_query.js";
import { CLEARANCE_WORDS } from "../../lib/plan_words.js";
import { choices } from "../../lib/wording.js";

/** @typedef {import("../../lib/household_query.js").HouseholdQuery} HouseholdQuery */
/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */

const TYPING_MS = 250;

/**
 * @param {{ id: string, name: string }[]} tariffs
 * @returns {FieldSpec[]}
 */
function filterFields(tariffs) {
  const any = { value: "", label: "Any" };
  return [
    { name: "clearance", label: "Clearance", kind: "select", options: [any, ...choices(CLEARANCE_WORDS)] },
    { name: "tariff_id", label: "Tariff", kind: "select", options: [any, ...tariffs.map(({ id, name }) => ({ value: id, label: name }))] },
    { name: "sort", label: "Sort by", kind: "select", options: SORTS },
    { name: "shortfall", label: "With a shortfall", kind: "tick" },
    { name: "overdue", label: "Recheck overdue", kind: "tick" },
  ];
}

/**
 * @param {{
 *   query: HouseholdQuery,
 *   tariffs: { id: string, name: string }[],
 *   onChange: (change: Partial<HouseholdQuery>) => void,
 * }} props
 */
export function HouseholdFilters({ query, tariffs, onChange }) {
  const [search, setSearch] = useState(query.search);
  const timer = useRef(/** @type {ReturnType<typeof setTimeout> | undefined} */ (undefined));
  useEffect(() => setSearch(query.search), [query.search]);
  useEffect(() => () => clearTimeout(timer.current), []);
  const type = (/** @type {string} */ text) => {
    setSearch(text);
    clearTimeout(timer.current);
    timer.current = setTimeout(() => onChange({ search: text.trim() }), TYPING_MS);
  };
  const now = (/** @type {Event} */ event) => {
    event.preventDefault();
    clearTimeout(timer.current);
    onChange({ search: search.trim() });
  };
  const values = /** @type {Record<string, any>} */ (query);
  return html`<form class="filters" role="search" onSubmit=${now}>
    <${Field} spec=${{ name: "search", label: "Reference or name", kind: "text" }} value=${search} onInput=${type} />
    ${filterFields(tariffs).map((spec) => html`<${Field} key=${spec.name} spec=${spec}
      value=${spec.kind === "tick" ? values[spec.name] === "true" : values[spec.name]}
      onInput=${(/** @type {string | boolean} */ value) => onChange({ [spec.name]: spec.kind === "tick" ? (value ? "true" : "") : value })} />`)}
  </form>`;
}
