/** Where the draft is, in plain words, always in sight; and the choice when two devices hold different ones. */
import { html } from "htm/preact";
import { askConfirm } from "../../../state/confirm.js";

/** @typedef {import("../../../state/draft_keeper.js").DraftKeeper<any>} Keeper */

/** @type {Record<import("../../../state/draft_keeper.js").DraftState, string>} */
const WORDS = {
  untouched: "Nothing entered yet",
  kept: "Kept on this phone",
  sending: "Kept on this phone, saving…",
  saved: "Saved",
  no_signal: "No signal: kept here, will be sent",
  conflict: "Two drafts: choose which one counts",
  refused: "Kept on this phone, not taken by the service",
};

const NOT_KEPT = "This browser keeps nothing: leave the page open until it says saved";

/**
 * @param {import("../../../state/draft_keeper.js").DraftState} state
 * @param {boolean} isKept
 * @returns {string}
 */
export function draftWords(state, isKept) {
  return !isKept && ["kept", "sending", "no_signal", "refused"].includes(state) ? NOT_KEPT : WORDS[state];
}

/** @param {{ isShown: boolean }} props */
export function FromMemory({ isShown }) {
  return isShown && html`<p class="note note-warn" role="status">No signal: this is what the scheme said when you last opened it. You can go on.</p>`;
}

const TICK = "M3 8.5 6.5 12 13 4.5";
const DASH = "M4 8h8";
const MARK = "M8 3v6M8 12.5v.5";

/** @type {Partial<Record<import("../../../state/draft_keeper.js").DraftState, string>>} */
const MARKS = { saved: TICK, untouched: DASH, kept: DASH, sending: DASH };

/** @param {{ keeper: Keeper, isPending: boolean }} props isPending: a document waits to be sent */
export function DraftStatus({ keeper, isPending }) {
  const state = keeper.state.value;
  const isWaiting = state === "saved" && isPending;
  const mark = isWaiting || !keeper.isKept.value ? MARK : MARKS[state] ?? MARK;
  return html`<p class=${`draft-status draft-${isWaiting ? "no_signal" : state}`} role="status">
    <svg class="mark" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true"><path d=${mark} /></svg>
    ${isWaiting ? "Saved; a document waits to be sent" : draftWords(state, keeper.isKept.value)}</p>`;
}

/** @param {{ keeper: Keeper }} props */
export function DraftChoice({ keeper }) {
  if (!keeper.other.value) return null;
  const take = async () => {
    const isSure = await askConfirm({
      title: "Take the other device's draft?", text: "What was entered on this phone since then is lost.",
      action: "Take the other draft", stay: "Keep both for now",
    });
    if (isSure) keeper.takeOther();
  };
  return html`<div class="note note-warn" role="alert">
    <p class="note-title">Another device saved a later draft of this home</p>
    <p>Nothing has been written over. Choose which of the two counts.</p>
    <div class="form-actions">
      <button type="button" class="button button-main" onClick=${() => keeper.keepMine()}>Keep what this phone has</button>
      <button type="button" class="button" onClick=${take}>Take the other draft</button>
    </div></div>`;
}
