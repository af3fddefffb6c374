import assert from "node:assert/strict";
import { test } from "node:test";
import { draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { ClearanceTag } = await import("../../app/components/clearance_tag.js");
const { Details } = await import("../../app/components/details.js");
const { Field } = await import("../../app/components/field.js");
const { Pager } = await import("../../app/components/pager.js");
const { ProblemNote } = await import("../../app/components/problem_note.js");
const { Progress } = await import("../../app/components/progress.js");
const { SpecForm } = await import("../../app/components/spec_form.js");
const { WorkingSteps } = await import("../../app/components/working_steps.js");
const { Problem } = await import("../../app/lib/problem.js");

const MILES = { name: "miles", label: "Miles", kind: "decimal", hint: "There and back." };

test("a field's label, hint and fault are tied to its control", () => {
  const place = draw(html`<${Field} spec=${MILES} value="3" onInput=${() => {}} fault="Too few." />`);
  const input = one(place, "input");
  assert.equal(one(place, "label").getAttribute("for"), input.id);
  const described = (input.getAttribute("aria-describedby") ?? "").split(" ").map((id) => document.getElementById(id)?.textContent);
  assert.deepEqual(described, ["There and back.", "Too few."]);
  assert.equal(input.getAttribute("aria-invalid"), "true");
});

test("a sound field is not called invalid", () => {
  const place = draw(html`<${Field} spec=${MILES} value="3" onInput=${() => {}} />`);
  assert.equal(one(place, "input").hasAttribute("aria-invalid"), false);
});

test("a problem is announced with what to do", () => {
  const problem = new Problem({ status: 422, detail: "Not accepted.", errors: [{ pointer: "/miles", detail: "Too far." }] });
  const place = draw(html`<${ProblemNote} problem=${problem} />`);
  assert.equal(one(place, "[role=alert]").textContent?.includes("Too far."), true);
  assert.match(place.textContent ?? "", /Put the marked entries right/);
  assert.equal(draw(html`<${ProblemNote} problem=${null} />`).textContent, "");
});

test("each clearance is a word and a mark, not a colour alone", () => {
  const words = /** @type {const} */ (["fit_to_use", "use_with_limits", "do_not_use", "not_known"]).map((clearance) => {
    const place = draw(html`<${ClearanceTag} clearance=${clearance} />`);
    return `${place.textContent?.trim()} ${one(place, "path").getAttribute("d")}`;
  });
  assert.equal(new Set(words).size, 4);
  assert.match(words[3], /^Not known/);
});

test("progress is a bar and the same in words", () => {
  const place = draw(html`<${Progress} label="Tariff change" done=${5} total=${20} text="5 of 20 homes" />`);
  const bar = /** @type {HTMLProgressElement} */ (one(place, "progress"));
  assert.equal(bar.getAttribute("value"), "5");
  assert.equal(bar.getAttribute("max"), "20");
  assert.equal(one(place, "[aria-live=polite]").textContent, "5 of 20 homes");
});

test("the first page offers no way back, the last none forward", () => {
  const texts = (/** @type {number} */ page) => [...draw(html`<${Pager} page=${page} pageSize=${50} total=${120} noun="homes" hrefOf=${String} />`).querySelectorAll("a")].map((link) => link.textContent);
  assert.deepEqual(texts(1), ["Next"]);
  assert.deepEqual(texts(2), ["Previous", "Next"]);
  assert.deepEqual(texts(3), ["Previous"]);
});

test("the inside of a details element is made when it is opened", async () => {
  let made = 0;
  const inside = () => {
    made += 1;
    return "inside";
  };
  const place = draw(html`<${Details} summary="Working">${inside}</${Details}>`);
  assert.equal(made, 0);
  one(place, "details").dispatchEvent(new Event("toggle"));
  await settle();
  assert.match(place.textContent ?? "", /inside/);
});

test("a working shows inputs, rule, source and result", () => {
  const step = { what: "Energy", inputs: { need: "10 kWh" }, rule: "divided by efficiency", source: "S 1", result: "12 kWh" };
  const text = draw(html`<${WorkingSteps} steps=${[step]} />`).textContent ?? "";
  for (const part of ["Energy", "12 kWh", "need", "10 kWh", "divided by efficiency", "Source: S 1"]) assert.ok(text.includes(part), part);
});

test("a form sends what was typed and shows a fault at its field, under the service's name for it too", async () => {
  /** @type {object[]} */
  const sent = [];
  const problem = new Problem({ status: 422, errors: [{ pointer: "/leaves_at", detail: "In the past." }] });
  const submission = { isBusy: false, problem, run: async () => true, clear: () => {} };
  const fields = [{ name: "leaves_time", label: "Leaves", kind: "time" }];
  const place = draw(html`<${SpecForm} fields=${fields} start=${{ leaves_time: "07:00" }} action="Save" submission=${submission}
    onSubmit=${(/** @type {object} */ values) => sent.push(values)} faultFields=${{ leaves_at: "leaves_time" }} />`);
  assert.equal(one(place, ".fault").textContent, "In the past.");
  const input = /** @type {HTMLInputElement} */ (one(place, "input"));
  input.value = "08:15";
  input.dispatchEvent(new Event("input", { bubbles: true }));
  await settle();
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  assert.deepEqual(sent, [{ leaves_time: "08:15" }]);
});
