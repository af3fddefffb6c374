/** What a member sees before the first plan: what is missing, and where it is entered. */
import { html } from "htm/preact";
import { Empty } from "../../components/empty.js";

/** @param {{ detail: string, retry: () => void }} props */
export function NoPlanYet({ detail, retry }) {
  return html`<${Empty} title="There is no plan yet">
    <p>${detail || "The plan appears here as soon as your home's entries are complete."}</p>
    <p>You can enter <a href="/cars">your cars and the week's routine</a> and see <a href="/outlets">what is safe to use</a>.
      Your tariff and your outlets' inspections are entered by the scheme's administrator.</p>
    <button type="button" class="button" onClick=${retry}>Look again</button>
  </${Empty}>`;
}
