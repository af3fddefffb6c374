/** What a yes to an extension lead leads to: what to do now first, then saying which one it is, then on with the survey. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { Cautions } from "../../../components/cautions.js";
import { ExtensionLeads } from "../outlets/extension_leads.js";

/** @param {{ home: import("../../../api/types.d.ts").Household, reload: () => void, onGoOn: () => void }} props */
export function StoppedByExtension({ home, reload, onGoOn }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), []);
  return html`<h2 ref=${heading} tabindex="-1">Do not charge through the extension lead</h2>
    <p class="lead">Charging from the socket is stopped until it is not used any more. Say what you know of it: an electrician can only allow one he can name.</p>
    <${ExtensionLeads} home=${home} onChange=${reload} level=${3} />
    <${Cautions} names=${["extension", "stop"]} />
    <div class="form-actions"><button type="button" class="button button-main" onClick=${onGoOn}>Go on with the survey</button></div>`;
}
