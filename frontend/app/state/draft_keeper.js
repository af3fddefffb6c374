/**
 * A draft that no lost signal, reload or second device loses.
 *
 * Every change is kept on the device first, then sent when there is a connection. The service counts versions: a draft
 * that another device saved meanwhile is not written over but offered as a choice.
 */
import { signal } from "@preact/signals";
import { asProblem } from "../lib/problem.js";
import { markOf, saysSame } from "../lib/same.js";

/** @typedef {import("./kept_store.js").KeptStore} KeptStore */
/** @typedef {import("../lib/problem.js").Problem} Problem */
/** @typedef {"untouched" | "kept" | "sending" | "saved" | "no_signal" | "conflict" | "refused"} DraftState */

/**
 * @template D
 * @typedef {object} Saved a draft as the service holds it
 * @property {D | null} draft
 * @property {number} version
 */

/**
 * @template D
 * @typedef {object} KeptDraft what is kept on the device
 * @property {D} draft
 * @property {number} version the service's, which the draft started from
 * @property {boolean} isSent
 * @property {string[]} tried marks of the drafts sent since the last answer: one of them may have arrived
 */

/**
 * @template D
 * @typedef {object} Door how the service is reached
 * @property {(draft: D, version: number) => Promise<number>} send gives the new version
 * @property {() => Promise<Saved<D>>} read
 */

const SEND_AFTER_MS = 800;
const AGAIN_AFTER_MS = 10_000;
const TRIES_KEPT = 200;
const STALE = new Set([409, 412]);

/** @template D */
export class DraftKeeper {
  /** @param {{ store: KeptStore, key: string, empty: D, door: Door<D>, sendAfterMs?: number, againAfterMs?: number }} options */
  constructor({ store, key, empty, door, sendAfterMs = SEND_AFTER_MS, againAfterMs = AGAIN_AFTER_MS }) {
    this.store = store;
    this.key = key;
    this.door = door;
    this.sendAfterMs = sendAfterMs;
    this.againAfterMs = againAfterMs;
    this.draft = signal(empty);
    this.state = signal(/** @type {DraftState} */ ("untouched"));
    this.problem = signal(/** @type {Problem | null} */ (null));
    /** The other device's draft while there is a choice to make. */
    this.other = signal(/** @type {Saved<D> | null} */ (null));
    /** Does the device keep it over a reload? */
    this.isKept = signal(true);
    this.version = 0;
    this.isSent = true;
    this.tried = /** @type {string[]} */ ([]);
    this.timer = /** @type {ReturnType<typeof setTimeout> | undefined} */ (undefined);
    this.sending = /** @type {Promise<void> | null} */ (null);
    this.isStopped = false;
  }

  /**
   * Begin with what is kept here and what the service has.
   * @param {Saved<D> | null} saved null: the service could not be asked
   * @param {D} [earlier] kept under another link; taken over where nothing else is there
   */
  async start(saved, earlier) {
    const found = /** @type {KeptDraft<D> | undefined} */ (await this.store.get(this.key));
    const isOlder = found?.isSent && saved?.draft && saved.version >= found.version;
    if (found && !isOlder) this.takeKept(found, saved);
    else this.takeSaved(saved, earlier);
    await this.keep();
    if (!this.isSent) this.sendLater(0);
  }

  /** @param {KeptDraft<D>} found @param {Saved<D> | null} saved */
  takeKept(found, saved) {
    Object.assign(this, { version: found.version, isSent: found.isSent, tried: found.tried });
    this.draft.value = found.draft;
    this.state.value = found.isSent ? "saved" : "kept";
    if (saved && !found.isSent) this.meet(saved);
  }

  /** @param {Saved<D> | null} saved @param {D | undefined} earlier */
  takeSaved(saved, earlier) {
    const draft = saved?.draft ?? null;
    this.version = saved?.version ?? 0;
    this.isSent = draft !== null || earlier === undefined;
    this.draft.value = draft ?? earlier ?? this.draft.value;
    this.state.value = draft ? "saved" : this.isSent ? "untouched" : "kept";
  }

  /** Keep the draft as it stands on the device. */
  async keep() {
    const { version, isSent, tried } = this;
    this.isKept.value = await this.store.put(this.key, /** @type {KeptDraft<D>} */ ({ draft: this.draft.value, version, isSent, tried }));
  }

  /** @param {(old: D) => D} next */
  async change(next) {
    const changed = next(this.draft.value);
    if (changed === this.draft.value) return;
    this.draft.value = changed;
    this.isSent = false;
    if (this.state.value !== "conflict") this.state.value = "kept";
    await this.keep();
    this.sendLater(this.sendAfterMs);
  }

  /** @param {number} delayMs */
  sendLater(delayMs) {
    clearTimeout(this.timer);
    if (!this.isStopped && this.state.value !== "conflict") this.timer = setTimeout(() => void this.flush(), delayMs);
  }

  /** Send now what the service does not have yet. */
  async flush() {
    clearTimeout(this.timer);
    while (this.sending) await this.sending;
    if (this.isStopped || this.isSent || this.state.value === "conflict") return;
    this.sending = this.send();
    await this.sending;
    this.sending = null;
    if (!this.isSent && this.state.value === "kept") this.sendLater(this.sendAfterMs);
  }

  async send() {
    const sent = this.draft.value;
    this.state.value = "sending";
    try {
      this.tried = [...this.tried, markOf(sent)].slice(-TRIES_KEPT);
      await this.keep();
      this.version = await this.door.send(sent, this.version);
      this.tried = [];
      this.problem.value = null;
      this.isSent = this.draft.value === sent;
      this.state.value = this.isSent ? "saved" : "kept";
    } catch (thrown) {
      await this.understand(asProblem(thrown));
    }
    await this.keep();
  }

  /** @param {Problem} found */
  async understand(found) {
    this.problem.value = found;
    if (STALE.has(found.status)) {
      try {
        this.state.value = "kept";
        this.meet(await this.door.read());
        return;
      } catch (thrown) {
        this.problem.value = asProblem(thrown);
      }
    }
    const { status } = this.problem.value;
    if (status === 0 || status === 429 || status >= 500) {
      this.state.value = "no_signal";
      this.sendLater(this.againAfterMs);
    } else {
      this.state.value = "refused";
    }
  }

  /**
   * Compare what is unsent here with what the service holds.
   * @param {Saved<D>} saved
   */
  meet(saved) {
    const isOurs = saved.version === this.version || this.tried.includes(markOf(saved.draft));
    if (saysSame(saved.draft, this.draft.value)) {
      this.isSent = true;
      this.state.value = "saved";
    } else if (saved.draft !== null && !isOurs) {
      this.other.value = saved;
      this.state.value = "conflict";
      return;
    }
    this.version = saved.version;
    this.tried = [];
  }

  /** Of two devices' drafts, this one's counts. */
  async keepMine() {
    if (!this.other.value) return;
    this.version = this.other.value.version;
    this.other.value = null;
    this.isSent = false;
    this.state.value = "kept";
    await this.keep();
    await this.flush();
  }

  /** Of two devices' drafts, the other's counts. */
  async takeOther() {
    if (!this.other.value?.draft) return;
    this.draft.value = this.other.value.draft;
    this.version = this.other.value.version;
    this.other.value = null;
    this.isSent = true;
    this.state.value = "saved";
    await this.keep();
  }

  /** Forget it here: it has been submitted. */
  async forget() {
    this.stop();
    await this.store.remove(this.key);
  }

  /** End the timers; what is kept stays. */
  stop() {
    this.isStopped = true;
    clearTimeout(this.timer);
  }
}
