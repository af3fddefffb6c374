/** A document chosen without a signal waits on the device, and is sent once. */
import assert from "node:assert/strict";
import { test } from "node:test";
import "../dom.js";

const { DocumentSender, shortName } = await import("../../app/state/document_sender.js");
const { DraftKeeper } = await import("../../app/state/draft_keeper.js");
const { textStore } = await import("../../app/state/kept_store.js");
const { EMPTY_VISIT } = await import("../../app/lib/inspection_form.js");
const { Problem } = await import("../../app/lib/problem.js");

/** @param {(name: string) => Promise<string>} upload */
async function senderOf(upload) {
  const store = textStore(null);
  const keeper = new DraftKeeper({ store, key: "d", empty: EMPTY_VISIT, door: { send: async (_, version) => version + 1, read: async () => ({ draft: null, version: 0 }) }, sendAfterMs: 100_000 });
  await keeper.start({ draft: null, version: 0 });
  const sender = new DocumentSender({ store, keeper, folder: "file/v/", upload: (_, name) => upload(name) });
  return { store, keeper, sender, documentOf: (/** @type {string} */ id) => keeper.draft.value.outlets[id]?.document };
}

const PAGE = new File(["%PDF-1.7"], "certificate.pdf", { type: "application/pdf" });

test("chosen without a signal it is kept as it is, and sent later", async () => {
  let isReachable = false;
  const { store, sender, documentOf } = await senderOf(async () => {
    if (!isReachable) throw new Problem({ status: 0 });
    return "f1";
  });
  await sender.choose("o1", PAGE);
  assert.equal(sender.notes.value.o1?.state, "no_signal");
  assert.equal(sender.isDone(), false);
  const [key] = await store.keys("file/v/");
  assert.equal(await (await store.get(key)).text(), "%PDF-1.7");
  isReachable = true;
  await sender.send();
  assert.equal(documentOf("o1")?.id, "f1");
  assert.equal(sender.isDone(), true);
  assert.deepEqual(sender.notes.value, {});
});

test("a file that the service will not have is told with its reason", async () => {
  const { sender } = await senderOf(async () => Promise.reject(new Problem({ status: 422, errors: [{ pointer: "/", detail: "must be a PDF, a JPEG or a PNG" }] })));
  await sender.choose("o1", PAGE);
  assert.deepEqual(sender.notes.value.o1, { state: "refused", text: "Must be a PDF, a JPEG or a PNG." });
});

test("a document that another device chose is not sent from here", async () => {
  let count = 0;
  const { keeper, sender } = await senderOf(async () => String(++count));
  await keeper.change((old) => ({ ...old, outlets: { o1: { values: {}, untested: {}, observations: [], document: { key: "file/v/elsewhere", name: "a.pdf", size: 1, id: null } } } }));
  await sender.send();
  assert.equal(sender.notes.value.o1?.state, "elsewhere");
  assert.equal(count, 0);
});

test("taken away from one outlet it stays for the other that shares it", async () => {
  const { store, keeper, sender, documentOf } = await senderOf(async () => Promise.reject(new Problem({ status: 0 })));
  await sender.choose("o1", PAGE);
  await keeper.change((old) => ({ ...old, outlets: { ...old.outlets, o2: { ...old.outlets.o1 } } }));
  await sender.drop("o1");
  assert.equal(documentOf("o1"), null);
  assert.equal((await store.keys("file/v/")).length, 1);
  await sender.drop("o2");
  assert.deepEqual(await store.keys("file/v/"), []);
});

test("a long name keeps its ending", () => {
  assert.equal(shortName("short.pdf"), "short.pdf");
  const name = shortName(`${"x".repeat(300)}.jpeg`);
  assert.equal(name.length, 100);
  assert.match(name, /x\.jpeg$/);
});
