/** The dated figures that the sums use, by subject: where each is from, how sure it is, and what is not known. */
import { html } from "htm/preact";
import { listFigures } from "../../api/figures.js";
import { Empty } from "../../components/empty.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { bySubject } from "../../lib/figure_words.js";
import { counted } from "../../lib/quantity.js";
import { formatDate, localDay } from "../../lib/time.js";
import { useResource } from "../../state/resource.js";
import { adjust, url } from "../../state/router.js";
import { SubjectTable } from "./subject_table.js";

/** @typedef {import("../../api/figure_types.d.ts").FigureBook} FigureBook */
/** @typedef {{ search: string, on: string, isAll: boolean }} Asked */

const ZONE = "Europe/London";

/** @type {import("../../lib/form_values.js").FieldSpec} */
const SEARCH = { name: "search", label: "Search", kind: "text" };
/** @type {import("../../lib/form_values.js").FieldSpec} */
const DAY = { name: "on", label: "In force on", kind: "date" };
/** @type {import("../../lib/form_values.js").FieldSpec} */
const ALL = { name: "all", label: "All days, not only this one", kind: "tick" };

/**
 * @param {Asked} asked
 * @returns {string}
 */
function hrefOf({ search, on, isAll }) {
  const params = new URLSearchParams();
  if (search) params.set("search", search);
  if (on) params.set("on", on);
  if (isAll) params.set("all", "true");
  const text = params.toString();
  return `/figures${text && `?${text}`}`;
}

/** @param {{ book: FigureBook, asked: Asked }} props */
function Book({ book, asked }) {
  const subjects = bySubject(book, asked.search);
  if (subjects.length === 0) return html`<${Empty} title="No figure is like this"><p><a href="/figures">Show what is in force today</a></p></${Empty}>`;
  return html`${book.not_known.length > 0 && html`<div class="note note-warn"><p class="note-title">${counted(book.not_known.length, "figure")} not known on ${formatDate(book.on)}</p>
      <p>What needs one of them says so and stops there: nothing is guessed. Whoever runs the service records a figure once its source is read.</p></div>`}
    ${subjects.map((each) => html`<${SubjectTable} key=${each.subject} subject=${each} isAll=${asked.isAll} />`)}`;
}

/** Figures. */
export function FiguresPage() {
  const params = new URLSearchParams(url.value.split("?")[1] ?? "");
  const today = localDay(Date.now(), ZONE);
  const asked = { search: (params.get("search") ?? "").trim(), on: params.get("on") ?? "", isAll: params.get("all") === "true" };
  const on = /^\d{4}-\d{2}-\d{2}$/.test(asked.on) ? asked.on : today;
  const book = useResource((reading) => listFigures(asked.isAll ? {} : { on }, reading), [asked.isAll, on]);
  return html`<${Page} title="Figures" class="page-admin"
    lead="Rates, typical use, emission factors and prices that the sums here use, each from a day on and with its source. Not tax advice: what a source says may have changed since it was read.">
    <div class="filters">
      <${Field} spec=${SEARCH} value=${params.get("search") ?? ""} onInput=${(/** @type {string} */ search) => adjust(hrefOf({ ...asked, search }))} />
      ${!asked.isAll && html`<${Field} spec=${DAY} value=${on} onInput=${(/** @type {string} */ day) => adjust(hrefOf({ ...asked, on: day }))} />`}
      <${Field} spec=${ALL} value=${asked.isAll} onInput=${(/** @type {boolean} */ isAll) => adjust(hrefOf({ ...asked, isAll }))} />
    </div>
    <${Loaded} of=${book} lines=${6} size="line">${(/** @type {FigureBook} */ data) => html`<${Book} book=${data} asked=${asked} />`}</${Loaded}>
  </${Page}>`;
}
