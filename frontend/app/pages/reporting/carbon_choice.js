/** Which period and which set of factors, kept in the page's address. */
import { html } from "htm/preact";
import { Field } from "../../components/field.js";
import { periodOptions, periodQuery } from "../../lib/carbon_words.js";
import { localDay } from "../../lib/time.js";
import { adjust, url } from "../../state/router.js";

/** @typedef {{ year: string, set: string }} Choice */

const ZONE = "Europe/London";
const OWN_SETS = { value: "", label: "Each year's own" };

/** @returns {Choice} */
export function chosen() {
  const params = new URLSearchParams(url.value.split("?")[1] ?? "");
  return { year: params.get("year") ?? "", set: params.get("set") ?? "" };
}

/**
 * The choice as the service takes it.
 * @param {Choice} choice
 * @returns {import("../../api/carbon.js").CarbonQuery}
 */
export function carbonQuery({ year, set }) {
  return { ...periodQuery(year), ...(set && { set_year: set }) };
}

/** @param {{ path: string, choice: Choice, usual: string, setYears: number[] }} props */
export function CarbonChoice({ path, choice, usual, setYears }) {
  const go = (/** @type {Partial<Choice>} */ changed) => {
    const params = new URLSearchParams(Object.entries({ ...choice, ...changed }).filter(([, value]) => value));
    adjust(params.size > 0 ? `${path}?${params}` : path);
  };
  const sets = [OWN_SETS, ...setYears.map((year) => ({ value: String(year), label: `${year} set throughout` }))];
  return html`<div class="filters">
    <${Field} spec=${{ name: "year", label: "Period", kind: "select", options: periodOptions(localDay(Date.now(), ZONE), usual) }} value=${choice.year}
      onInput=${(/** @type {string} */ year) => go({ year })} />
    <${Field} spec=${{ name: "set", label: "Emission factors", kind: "select", options: sets }} value=${choice.set} onInput=${(/** @type {string} */ set) => go({ set })} />
  </div>`;
}
