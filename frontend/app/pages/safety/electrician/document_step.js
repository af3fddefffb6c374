/** The certificate itself: photographed or chosen as a file, kept on the phone until it could be sent. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";

/** @typedef {import("../../../lib/inspection_form.js").ChosenDocument} ChosenDocument */
/** @typedef {import("../../../state/document_sender.js").DocumentNote} DocumentNote */

const MOST_BYTES = 10 * 1024 * 1024;
const TYPES = ["application/pdf", "image/jpeg", "image/png"];
const ACCEPTED = TYPES.join(",");

/**
 * Why a file cannot be taken, as far as the phone can tell.
 * @param {{ size: number, type: string }} file
 * @returns {string} "" where it can
 */
export function documentFault({ size, type }) {
  if (size === 0) return "The file is empty.";
  if (size > MOST_BYTES) return "Must be at most 10 MiB. Photograph each page smaller, or send one PDF.";
  if (type && !TYPES.includes(type)) return "Must be a PDF, a JPEG or a PNG.";
  return "";
}

/**
 * How a chosen document stands.
 * @param {ChosenDocument} chosen
 * @param {DocumentNote | undefined} note
 * @returns {string}
 */
export function documentWords(chosen, note) {
  if (chosen.id !== null) return "Sent";
  if (note?.state === "refused") return `Not taken: ${note.text}`;
  if (note?.state === "elsewhere") return "Chosen on another device, which has yet to send it. Choose it here again if you cannot wait.";
  if (note?.state === "sending") return "Kept on this phone, being sent…";
  return "No signal: kept on this phone, will be sent";
}

/** @param {number} bytes */
function sizeWords(bytes) {
  return bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}

/** @param {{ label: string, isCamera: boolean, onChoose: (file: File) => void }} props */
function FileButton({ label, isCamera, onChoose }) {
  const id = useId();
  const choose = (/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
    const file = event.currentTarget.files?.[0];
    if (file) onChoose(file);
    event.currentTarget.value = "";
  };
  return html`<span class="file-button"><input id=${id} type="file" accept=${isCamera ? "image/*" : ACCEPTED} capture=${isCamera ? "environment" : undefined} onChange=${choose} />
    <label class="button button-wide" for=${id}>${label}</label></span>`;
}

/** @param {{ kept: import("./one_visit.js").Kept, outletId: string, chosen: ChosenDocument | null }} props */
export function DocumentStep({ kept, outletId, chosen }) {
  const [fault, setFault] = useState("");
  const { sender } = kept;
  const take = (/** @type {File} */ file) => {
    const found = documentFault(file);
    setFault(found);
    if (!found) void sender.choose(outletId, file);
  };
  return html`
    ${chosen && html`<div class="card"><p><strong class="wrap">${chosen.name}</strong>, ${sizeWords(chosen.size)}</p>
      <p role="status">${documentWords(chosen, sender.notes.value[outletId])}</p>
      <button type="button" class="button button-quiet" onClick=${() => sender.drop(outletId)}>Take it away again</button></div>`}
    <p class="small">PDF, JPEG or PNG, at most 10 MiB. Photographs are stored without the place they were taken at.</p>
    <div class="form-actions"><${FileButton} label=${chosen ? "Photograph it again" : "Photograph the certificate"} isCamera=${true} onChoose=${take} />
      <${FileButton} label="Choose a file" isCamera=${false} onChoose=${take} /></div>
    ${fault && html`<p class="fault" role="alert">${fault}</p>`}`;
}
