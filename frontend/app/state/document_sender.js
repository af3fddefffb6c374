/** Documents chosen on the phone: kept there as they are, and sent when there is a connection. */
import { signal } from "@preact/signals";
import { newKey } from "../api/client.js";
import { withOutlet } from "../lib/inspection_form.js";
import { asProblem, sentence } from "../lib/problem.js";

/** @typedef {import("./kept_store.js").KeptStore} KeptStore */
/** @typedef {import("../lib/inspection_form.js").VisitForm} VisitForm */
/** @typedef {import("../lib/inspection_form.js").ChosenDocument} ChosenDocument */

/**
 * @typedef {object} DocumentNote how a chosen document stands
 * @property {"sending" | "no_signal" | "refused" | "elsewhere"} state elsewhere: chosen on another device, which has yet to send it
 * @property {string} text what the service said
 */

const NAME_MAX = 100;

/**
 * A file's name, short enough to be kept with it; its ending stays.
 * @param {string} name
 * @returns {string}
 */
export function shortName(name) {
  if (name.length <= NAME_MAX) return name;
  const ending = /\.[A-Za-z0-9]{1,5}$/.exec(name)?.[0] ?? "";
  return name.slice(0, NAME_MAX - ending.length) + ending;
}

export class DocumentSender {
  /**
   * @param {{
   *   store: KeptStore,
   *   keeper: import("./draft_keeper.js").DraftKeeper<VisitForm>,
   *   folder: string,
   *   upload: (file: Blob, name: string, key: string) => Promise<string>,
   * }} options folder: what the keys of kept files begin with; upload gives the file's id
   */
  constructor({ store, keeper, folder, upload }) {
    this.store = store;
    this.keeper = keeper;
    this.folder = folder;
    this.upload = upload;
    this.notes = signal(/** @type {Record<string, DocumentNote>} */ ({}));
    this.running = /** @type {Promise<void> | null} */ (null);
  }

  /**
   * Put a document beside an outlet's certificate.
   * @param {string} outletId
   * @param {File} file
   */
  async choose(outletId, file) {
    const key = `${this.folder}${newKey()}`;
    await this.store.put(key, new Blob([await file.arrayBuffer()], { type: file.type }));
    this.note(outletId, null);
    await this.put(outletId, { key, name: shortName(file.name || "document"), size: file.size, id: null });
    await this.send();
  }

  /** @param {string} outletId */
  async drop(outletId) {
    const chosen = this.keeper.draft.value.outlets[outletId]?.document;
    this.note(outletId, null);
    await this.put(outletId, null);
    const isShared = Object.values(this.keeper.draft.value.outlets).some(({ document }) => document?.key === chosen?.key);
    if (chosen && !isShared) await this.store.remove(chosen.key);
  }

  /** Send every document that the service does not have yet. */
  async send() {
    while (this.running) await this.running;
    this.running = this.sendAll();
    await this.running;
    this.running = null;
  }

  /** Is every chosen document with the service? */
  isDone() {
    return Object.values(this.keeper.draft.value.outlets).every(({ document }) => !document || document.id !== null);
  }

  async sendAll() {
    for (const [outletId, { document }] of Object.entries(this.keeper.draft.value.outlets)) {
      if (document && document.id === null) await this.sendOne(outletId, document);
    }
  }

  /** @param {string} outletId @param {ChosenDocument} chosen */
  async sendOne(outletId, chosen) {
    const file = await this.store.get(chosen.key);
    if (!file) {
      this.note(outletId, { state: "elsewhere", text: "" });
      return;
    }
    this.note(outletId, { state: "sending", text: "" });
    try {
      const id = await this.upload(file, chosen.name, chosen.key.slice(this.folder.length));
      this.note(outletId, null);
      if (this.keeper.draft.value.outlets[outletId]?.document?.key === chosen.key) await this.put(outletId, { ...chosen, id });
    } catch (thrown) {
      const problem = asProblem(thrown);
      const isLater = problem.status === 0 || problem.status === 429 || problem.status >= 500;
      const words = problem.errors[0]?.detail || sentence(problem.detail || problem.title);
      this.note(outletId, isLater ? { state: "no_signal", text: "" } : { state: "refused", text: words });
    }
  }

  /** Forget the kept files: what they belong to has been submitted. */
  async forget() {
    for (const key of await this.store.keys(this.folder)) await this.store.remove(key);
  }

  /** @param {string} outletId @param {ChosenDocument | null} document */
  put(outletId, document) {
    return this.keeper.change((old) => withOutlet(old, outletId, (form) => ({ ...form, document })));
  }

  /** @param {string} outletId @param {DocumentNote | null} note */
  note(outletId, note) {
    const notes = { ...this.notes.value };
    if (note) notes[outletId] = note;
    else delete notes[outletId];
    this.notes.value = notes;
  }
}
