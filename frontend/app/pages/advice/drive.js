/** Where to put the outlet: draw the drive, say where the cars' ports are, find the place, print it for the electrician. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getDrive, listDrives } from "../../api/drives.js";
import { getHouseholdBriefly } from "../../api/home.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { CarPorts } from "./drive/car_ports.js";
import { DriveEditor } from "./drive/editor.js";
import { KeptDrives } from "./drive/kept_drives.js";

/** @typedef {import("../../api/drive_types.d.ts").Drive} Drive */
/** @typedef {{ drive: Drive | null, etag: string | null }} Opened */

/**
 * The home's newest drawing with its ETag; nothing where it has none.
 * @param {string} householdId
 * @param {{ signal: AbortSignal }} reading
 * @returns {Promise<import("../../api/types.d.ts").Answer<Opened>>}
 */
async function readNewest(householdId, reading) {
  const kept = await listDrives(householdId, reading);
  const newest = kept.data.items[0];
  if (!newest) return { ...kept, data: { drive: null, etag: null } };
  const { data, etag } = await getDrive(householdId, newest.id, reading);
  return { ...kept, data: { drive: data, etag } };
}

/** Where to put the outlet. */
export function DrivePage() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHouseholdBriefly(householdId, reading), [householdId]);
  const newest = useResource((reading) => readNewest(householdId, reading), [householdId]);
  const kept = useResource((reading) => listDrives(householdId, reading), [householdId]);
  const [turn, setTurn] = useState(0);
  const open = (/** @type {Opened} */ opened) => {
    newest.put(opened);
    setTurn((old) => old + 1);
  };
  return html`<${Page} title="Where to put the outlet" class="page-member page-drive"
    lead="Draw your drive from above. Then see from which point of which wall a cable reaches every car, both ways round. What comes out is for the electrician to confirm; this page certifies nothing.">
    <section class="card" aria-labelledby="ports-title">
      <h2 id="ports-title">Your cars</h2>
      <${Loaded} of=${home} lines=${1} size="line">${(/** @type {import("../../api/types.d.ts").Household} */ data) => html`<${CarPorts} home=${data} />`}</${Loaded}>
    </section>
    <${Loaded} of=${newest} lines=${2} size="card">${(/** @type {Opened} */ opened) => html`<${DriveEditor} key=${turn} opened=${opened} onSaved=${kept.reload} />`}</${Loaded}>
    <${KeptDrives} kept=${kept} onOpen=${open} />
  </${Page}>`;
}
