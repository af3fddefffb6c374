import assert from "node:assert/strict";
import { test } from "node:test";
import { draw, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { question } = await import("../../app/state/confirm.js");
const { adjust, go, startRouter, url, visits } = await import("../../app/state/router.js");
const { useSubmission } = await import("../../app/state/submission.js");
const { chooseTheme, startTheme, theme } = await import("../../app/state/theme.js");
const { mayLeave, useUnsavedGuard } = await import("../../app/state/unsaved.js");
const { notices, say, dropNotice } = await import("../../app/state/notices.js");
const { Problem } = await import("../../app/lib/problem.js");

startRouter();

test("going elsewhere changes the address and counts as a visit, adjusting the query does not", async () => {
  await go("/week");
  assert.equal(url.value, "/week");
  assert.equal(location.pathname, "/week");
  const before = visits.value;
  adjust("/week?page=2");
  assert.equal(url.value, "/week?page=2");
  assert.equal(visits.value, before);
});

test("a link of our own is followed in the page, another site's is left alone", async () => {
  const place = draw(html`<a id="own" href="/cars">Cars</a><a id="out" href="https://other.example/x">Out</a><a id="plain" href="/demo/mail" data-outside>Mail</a>`);
  const click = (/** @type {string} */ id) => {
    const event = new MouseEvent("click", { bubbles: true, cancelable: true, button: 0 });
    // Keep the test document from leaving; the router has had its say by then.
    const stop = (/** @type {Event} */ late) => late.preventDefault();
    document.addEventListener("click", (late) => seen.push(late.defaultPrevented), { once: true });
    document.addEventListener("click", stop, { once: true });
    /** @type {boolean[]} */
    const seen = [];
    place.querySelector(`#${id}`)?.dispatchEvent(event);
    return seen[0];
  };
  assert.equal(click("own"), true);
  await settle();
  assert.equal(url.value, "/cars");
  assert.equal(click("out"), false);
  assert.equal(click("plain"), false);
});

test("unsaved entries are asked about, and staying keeps the page", async () => {
  const Form = () => {
    useUnsavedGuard(true);
    return null;
  };
  draw(html`<${Form} />`);
  await settle();
  assert.equal(mayLeave.isFree(), false);
  const before = url.value;
  const staying = go("/outlets");
  question.value?.answer(false);
  await staying;
  assert.equal(url.value, before);
  const leaving = go("/outlets");
  question.value?.answer(true);
  await leaving;
  assert.equal(url.value, "/outlets");
  assert.equal(mayLeave.isFree(), true);
});

/**
 * Draw a component that holds a submission, and hand the submission out.
 * @param {{ onStale?: () => void }} [options]
 */
async function submissionOf(options) {
  /** @type {{ current: import("../../app/state/submission.js").Submission | null }} */
  const box = { current: null };
  const Holder = () => {
    box.current = useSubmission(options);
    return null;
  };
  draw(html`<${Holder} />`);
  await settle();
  return () => /** @type {import("../../app/state/submission.js").Submission} */ (box.current);
}

test("a try that got no answer keeps its key, an answered one gets a new key", async () => {
  const latest = await submissionOf();
  /** @type {string[]} */
  const keys = [];
  const failing = (/** @type {number} */ status) => async (/** @type {string} */ key) => {
    keys.push(key);
    throw new Problem({ status });
  };
  for (const status of [0, 0, 422, 422]) {
    assert.equal(await latest().run(failing(status)), false);
    await settle();
  }
  assert.equal(keys[0], keys[1]);
  assert.equal(keys[1], keys[2]);
  assert.notEqual(keys[2], keys[3]);
  assert.equal(latest().problem?.status, 422);
});

test("a stale state is loaded again", async () => {
  let reloads = 0;
  const latest = await submissionOf({ onStale: () => (reloads += 1) });
  await latest().run(async () => {
    throw new Problem({ status: 412 });
  });
  assert.equal(reloads, 1);
});

test("a second press while one is sent does nothing", async () => {
  const latest = await submissionOf();
  let count = 0;
  const slow = async () => {
    count += 1;
    await settle();
  };
  const first = latest().run(slow);
  assert.equal(await latest().run(slow), false);
  assert.equal(await first, true);
  assert.equal(count, 1);
});

test("the chosen colours are remembered, and 'as the device' forgets them", () => {
  chooseTheme("dark");
  assert.equal(document.documentElement.dataset.theme, "dark");
  theme.value = "auto";
  startTheme();
  assert.equal(theme.value, "dark");
  chooseTheme("auto");
  assert.equal(document.documentElement.dataset.theme, undefined);
  assert.equal(localStorage.getItem("plugward-theme"), null);
});

test("a notice can be dropped", () => {
  say("Saved.");
  const last = notices.value.at(-1);
  assert.equal(last?.text, "Saved.");
  dropNotice(last?.id ?? 0);
  assert.equal(notices.value.some((notice) => notice.text === "Saved."), false);
});
