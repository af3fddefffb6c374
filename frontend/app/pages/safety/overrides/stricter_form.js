/** Make the answer of an outlet or lead stricter than its evidence, with the reason. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { makeOverride } from "../../../api/overrides.js";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { Field } from "../../../components/field.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { DECISION_WORDS, itemLabel } from "../../../lib/override_words.js";
import { fieldFault } from "../../../lib/problem.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useSubmission } from "../../../state/submission.js";
import { useUnsavedGuard } from "../../../state/unsaved.js";

/** @typedef {import("../../../api/types.d.ts").Household} Household */

/** @type {Record<string, string>} */
const LABELS = { item_id: "Outlet or lead", clearance: "At best", limit_a: "Current at most", reason: "Why" };
const LEVELS = Object.entries(DECISION_WORDS).map(([value, label]) => ({ value, label: label.charAt(0).toUpperCase() + label.slice(1) }));

/** @param {{ home: Household, onMade: () => void, onCancel: () => void }} props */
export function StricterForm({ home, onMade, onCancel }) {
  const items = [...home.outlets.map(({ id }) => ({ id, kind: "outlet" })), ...home.leads.map(({ id }) => ({ id, kind: "lead" }))];
  const [itemId, setItem] = useState(items[0].id);
  const [clearance, setClearance] = useState("");
  const [limit, setLimit] = useState("");
  const [reason, setReason] = useState("");
  const submission = useSubmission();
  useUnsavedGuard(!submission.isBusy && (clearance !== "" || reason !== ""));
  const isLimited = clearance === "use_with_limits";
  const fault = (/** @type {string} */ name) => fieldFault(submission.problem, name);
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const amps = isLimited && limit !== "" ? Number(limit) : null;
    const isSure = await askConfirm({
      title: "Make it stricter?",
      text: `${itemLabel(home, itemId)}: ${DECISION_WORDS[clearance]}${amps === null ? "" : `, ${amps} A at most`}. It acts at once: the plan changes, and the home's drivers, the administrators and the duty contact are told.`,
      action: "Make it stricter", stay: "Go back",
    });
    if (!isSure) return;
    await submission.run(async (key) => {
      const kind = items.find(({ id }) => id === itemId)?.kind === "lead" ? "lead" : "outlet";
      await makeOverride(home.id, { kind: "stricter", item_kind: kind, item_id: itemId, clearance, limit_a: amps, reason: reason.trim() }, key);
      say("The decision is in force. Everybody concerned is told.");
      onMade();
    });
  };
  return html`<form class="form inset" onSubmit=${send} aria-label="Make an answer stricter"><h2>Make an answer stricter</h2>
    <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${(/** @type {string} */ field) => LABELS[field] ?? ""} />
    <${Field} spec=${{ name: "item_id", label: LABELS.item_id, kind: "select", options: items.map(({ id }) => ({ value: id, label: itemLabel(home, id) })) }} value=${itemId} onInput=${setItem} fault=${fault("item_id")} />
    <${ChoiceGroup} spec=${{ name: "clearance", label: LABELS.clearance, kind: "select", options: LEVELS }} value=${clearance} onInput=${setClearance} fault=${fault("clearance")} />
    ${isLimited && html`<${Field} spec=${{ name: "limit_a", label: LABELS.limit_a, kind: "number", unit: "A", min: 1, max: 80, step: 1, isRequired: true }} value=${limit} onInput=${setLimit} fault=${fault("limit_a")} />`}
    <${Field} spec=${{ name: "reason", label: LABELS.reason, kind: "long", isRequired: true, hint: "The home's members read it." }} value=${reason} onInput=${setReason} fault=${fault("reason")} />
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy || clearance === ""}>${submission.isBusy ? "Saving…" : "Make it stricter"}</button>
      <button type="button" class="button" onClick=${onCancel}>Cancel</button></div>
  </form>`;
}
