/** A draft survives a lost signal, a reload, a lost answer and a second device; nothing is written over unasked. */
import assert from "node:assert/strict";
import { test } from "node:test";
import "../dom.js";

const { DraftKeeper } = await import("../../app/state/draft_keeper.js");
const { textStore } = await import("../../app/state/kept_store.js");
const { Problem } = await import("../../app/lib/problem.js");

/** @typedef {{ text: string }} Draft */

/** The service as the keeper meets it: counts versions, may be out of reach, may lose an answer. */
function service() {
  const held = { draft: /** @type {Draft | null} */ (null), version: 0, isReachable: true, losesAnswer: false, sentCount: 0 };
  const door = {
    send: async (/** @type {Draft} */ draft, /** @type {number} */ version) => {
      if (!held.isReachable) throw new Problem({ status: 0 });
      held.sentCount += 1;
      if (version !== held.version) throw new Problem({ status: 409, detail: "saved elsewhere" });
      Object.assign(held, { draft, version: version + 1 });
      if (held.losesAnswer) throw new Problem({ status: 0 });
      return held.version;
    },
    read: async () => ({ draft: held.draft, version: held.version }),
  };
  return { held, door };
}

/** @param {{ store?: ReturnType<typeof textStore>, door: any }} parts */
function keeperOf({ store = textStore(null), door }) {
  return new DraftKeeper({ store, key: "draft/v/l", empty: { text: "" }, door, sendAfterMs: 100_000, againAfterMs: 100_000 });
}

const typed = (/** @type {string} */ text) => () => ({ text });

test("a change is kept on the device before it is sent, and saved once it is", async () => {
  const store = textStore(null);
  const { held, door } = service();
  const keeper = keeperOf({ store, door });
  await keeper.start({ draft: null, version: 0 });
  assert.equal(keeper.state.value, "untouched");
  await keeper.change(typed("0.61"));
  assert.equal(keeper.state.value, "kept");
  assert.deepEqual((await store.get("draft/v/l")).draft, { text: "0.61" });
  assert.equal(held.draft, null);
  await keeper.flush();
  assert.equal(keeper.state.value, "saved");
  assert.deepEqual(held, { ...held, draft: { text: "0.61" }, version: 1 });
});

test("without a signal it stays here, outlives a reload, and is sent afterwards", async () => {
  const store = textStore(null);
  const { held, door } = service();
  held.isReachable = false;
  const before = keeperOf({ store, door });
  await before.start(null);
  await before.change(typed("typed offline"));
  await before.flush();
  assert.equal(before.state.value, "no_signal");
  before.stop();
  held.isReachable = true;
  const after = keeperOf({ store, door });
  await after.start({ draft: null, version: 0 });
  assert.equal(after.draft.value.text, "typed offline");
  await after.flush();
  assert.deepEqual(held.draft, { text: "typed offline" });
  assert.equal(after.state.value, "saved");
});

test("what is typed while a draft is on its way is sent after it", async () => {
  const { held, door } = service();
  const keeper = keeperOf({ door });
  await keeper.start({ draft: null, version: 0 });
  await keeper.change(typed("first"));
  const sending = keeper.flush();
  await keeper.change(typed("second"));
  await sending;
  assert.equal(keeper.isSent, false);
  await keeper.flush();
  assert.deepEqual([held.draft, held.version], [{ text: "second" }, 2]);
});

test("an answer lost on its way is no other device's draft", async () => {
  const { held, door } = service();
  const keeper = keeperOf({ door });
  await keeper.start({ draft: null, version: 0 });
  await keeper.change(typed("sent"));
  held.losesAnswer = true;
  await keeper.flush();
  assert.equal(keeper.state.value, "no_signal");
  held.losesAnswer = false;
  await keeper.change(typed("sent, and more"));
  await keeper.flush();
  assert.equal(keeper.other.value, null);
  await keeper.flush();
  assert.deepEqual(held.draft, { text: "sent, and more" });
});

test("another device's later draft is offered, not written over; this one's can be kept", async () => {
  const { held, door } = service();
  const keeper = keeperOf({ door });
  await keeper.start({ draft: null, version: 0 });
  Object.assign(held, { draft: { text: "theirs" }, version: 4 });
  await keeper.change(typed("mine"));
  await keeper.flush();
  assert.equal(keeper.state.value, "conflict");
  assert.deepEqual(held.draft, { text: "theirs" });
  await keeper.change(typed("mine, still"));
  await keeper.flush();
  assert.deepEqual(held.draft, { text: "theirs" });
  await keeper.keepMine();
  assert.deepEqual([held.draft, held.version, keeper.state.value], [{ text: "mine, still" }, 5, "saved"]);
});

test("the other device's draft can be taken instead", async () => {
  const { held, door } = service();
  const keeper = keeperOf({ door });
  await keeper.start({ draft: null, version: 0 });
  Object.assign(held, { draft: { text: "theirs" }, version: 1 });
  await keeper.change(typed("mine"));
  await keeper.flush();
  await keeper.takeOther();
  assert.deepEqual([keeper.draft.value.text, keeper.state.value, keeper.version], ["theirs", "saved", 1]);
});

test("opened again with everything sent, the newer draft of the service is shown", async () => {
  const store = textStore(null);
  const { door } = service();
  const first = keeperOf({ store, door });
  await first.start({ draft: null, version: 0 });
  await first.change(typed("mine"));
  await first.flush();
  const second = keeperOf({ store, door });
  await second.start({ draft: { text: "from the tablet" }, version: 7 });
  assert.deepEqual([second.draft.value.text, second.version], ["from the tablet", 7]);
});

test("what was entered under an earlier link comes back where the service has nothing, and is sent", async () => {
  const { held, door } = service();
  const keeper = keeperOf({ door });
  await keeper.start({ draft: null, version: 0 }, { text: "from the dead link" });
  assert.equal(keeper.draft.value.text, "from the dead link");
  await keeper.flush();
  assert.deepEqual(held.draft, { text: "from the dead link" });
});

test("a refusal is told and does not go round for ever; the draft stays", async () => {
  const keeper = keeperOf({ door: { send: async () => Promise.reject(new Problem({ status: 410, detail: "withdrawn" })), read: async () => ({ draft: null, version: 0 }) } });
  await keeper.start({ draft: null, version: 0 });
  await keeper.change(typed("kept"));
  await keeper.flush();
  assert.deepEqual([keeper.state.value, keeper.problem.value?.detail, keeper.draft.value.text], ["refused", "withdrawn", "kept"]);
});

test("a device that keeps nothing says so", async () => {
  const keeper = keeperOf({ door: service().door });
  await keeper.start({ draft: null, version: 0 });
  assert.equal(keeper.isKept.value, false);
});

test("once submitted nothing of it is left on the device", async () => {
  const store = textStore(localStorage);
  const keeper = keeperOf({ store, door: service().door });
  await keeper.start({ draft: null, version: 0 });
  await keeper.change(typed("x"));
  assert.deepEqual(await store.keys("draft/"), ["draft/v/l"]);
  assert.equal(keeper.isKept.value, true);
  await keeper.forget();
  assert.deepEqual(await store.keys("draft/"), []);
  assert.equal(Object.keys(localStorage).some((key) => key.includes("draft/")), false);
});
