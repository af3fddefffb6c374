/** The safety file of one home, now or as at a past instant: a page, a print sheet, and the way to the PDF. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getSafetyFile, pdfAddress } from "../../api/safety_desk.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { instantText, localDay, localTime } from "../../lib/time.js";
import { adjust, url } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { FilePartSection } from "./file_part.js";

/** @typedef {import("../../api/types.d.ts").SafetyFile} SafetyFile */

const RFC_3339 = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?(Z|[+-]\d{2}:\d{2})$/;
const DAY_MS = 86_400_000;

/** @param {{ file: SafetyFile, path: string }} props */
function InstantForm({ file, path }) {
  const now = new Date();
  const yesterday = localDay(now.getTime() - DAY_MS, file.zone);
  const [on, setOn] = useState(localDay(file.at, file.zone));
  const [at, setAt] = useState(localTime(file.at, file.zone));
  const show = (/** @type {string} */ instant) => adjust(instant ? `${path}?at=${encodeURIComponent(instant)}` : path);
  const send = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!on || !at) return;
    const wanted = instantText(on, at, file.zone);
    // What has not come yet is the file of now.
    show(Date.parse(wanted) > Date.now() ? "" : wanted);
  };
  return html`<form class="filters as-at" onSubmit=${send} aria-label="As at">
    <${Field} spec=${{ name: "on", label: "As at the day", kind: "date", max: localDay(now.getTime(), file.zone), isRequired: true }} value=${on} onInput=${setOn} />
    <${Field} spec=${{ name: "at", label: "Time", kind: "time", isRequired: true }} value=${at} onInput=${setAt} />
    <button type="submit" class="button">Show as at then</button>
    <button type="button" class="button button-quiet" onClick=${() => { setOn(yesterday); show(instantText(yesterday, at, file.zone)); }}>Yesterday</button>
    <button type="button" class="button button-quiet" onClick=${() => show("")}>Now</button>
  </form>`;
}

/** @param {{ file: SafetyFile, path: string, isPast: boolean }} props */
function File({ file, path, isPast }) {
  return html`
    <p class="file-instant"><strong>As at ${file.as_at}</strong>${isPast ? ": what came in later is left out." : ", which is now."}</p>
    <p class="note">${file.is_not}</p>
    <${InstantForm} key=${file.at} file=${file} path=${path} />
    <nav class="in-page" aria-label="On this page"><ul>${file.parts.map((part) => html`<li key=${part.name}><a href=${`#${part.name}`}>${part.title}</a></li>`)}
      <li><a href="#limits">What it cannot show</a></li></ul></nav>
    ${file.parts.map((part) => html`<${FilePartSection} key=${part.name} part=${part} />`)}
    <section id="limits" aria-labelledby="limits-title"><h2 id="limits-title">What this file cannot show</h2>
      <ul class="limits">${file.limits.map((limit) => html`<li key=${limit}>${limit}</li>`)}</ul></section>
  `;
}

/** @param {{ householdId: string, path: string, lead: unknown }} props */
function SafetyFileOf({ householdId, path, lead }) {
  const asked = new URLSearchParams(url.value.split("?")[1] ?? "").get("at") ?? "";
  const at = RFC_3339.test(asked) ? asked : "";
  const file = useResource((reading) => getSafetyFile(householdId, at, reading), [householdId, at]);
  const title = file.data ? file.data.title : "Safety file";
  return html`<${Page} title=${title} class="page-admin page-file" lead=${lead}
    actions=${html`<a class="button" href=${pdfAddress(householdId, at || (file.data?.at ?? ""))} download>Get it as a PDF</a>
      <button type="button" class="button" onClick=${() => print()}>Print</button>`}>
    <${Loaded} of=${file} lines=${6} size="card">${(/** @type {SafetyFile} */ data) =>
      html`<div class=${file.isLoading ? "is-loading" : ""}><${File} file=${data} path=${path} isPast=${at !== ""} /></div>`}</${Loaded}>
  </${Page}>`;
}

/** The file of any home, for those who run the scheme. @param {{ householdId: string }} props */
export function HomeSafetyPage({ householdId }) {
  return html`<${SafetyFileOf} householdId=${householdId} path=${`/households/${householdId}/safety`}
    lead=${html`<a href="/safety">Safety desk</a> · <a href=${`/households/${householdId}`}>The home</a> · <a href=${`/households/${householdId}/reports`}>What was reported</a> · <a href=${`/households/${householdId}/overrides`}>Decisions</a>`} />`;
}

/** A member's own file. */
export function OwnSafetyPage() {
  return html`<${SafetyFileOf} householdId=${ownHouseholdId()} path="/safety-file" lead=${html`<a href="/outlets">Outlets</a> · <a href="/reports">What was reported</a>`} />`;
}
