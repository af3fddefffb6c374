/** The drawing, its tools and settings; saved and worked out by one button. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addDrive, findPositions, putDrive } from "../../../api/drives.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { emptyDrawing, withoutThing, withThing, withValue } from "../../../lib/drive_drawing.js";
import { driveFieldWords } from "../../../lib/drive_words.js";
import { saysSame } from "../../../lib/same.js";
import { say } from "../../../state/notices.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";
import { useUnsavedGuard } from "../../../state/unsaved.js";
import { Board } from "./board.js";
import { DriveSettings } from "./settings.js";
import { SitingResult } from "./siting_result.js";
import { ThingList } from "./thing_list.js";

/** @typedef {import("../../../api/drive_types.d.ts").Drawing} Drawing */
/** @typedef {import("../../../api/drive_types.d.ts").Siting} Siting */
/** @typedef {{ label: string, drawing: Drawing }} Draft */

/**
 * What is drawn, with a way back.
 * @param {Draft} first
 */
function useDraft(first) {
  const [states, setStates] = useState([first]);
  return {
    draft: states[states.length - 1],
    canUndo: states.length > 1,
    change: (/** @type {Draft} */ next) => setStates((old) => [...old.slice(-50), next]),
    undo: () => setStates((old) => (old.length > 1 ? old.slice(0, -1) : old)),
  };
}

/**
 * Saves the draft and asks where the outlet should go.
 * @param {import("../drive.js").Opened} opened
 * @param {() => void} onSaved
 */
function useFinding(opened, onSaved) {
  const [kept, setKept] = useState(opened);
  const [found, setFound] = useState(/** @type {{ siting: Siting, draft: Draft } | null} */ (null));
  const submission = useSubmission();
  const find = (/** @type {Draft} */ draft) => submission.run(async (key) => {
    const home = ownHouseholdId();
    const { data, etag } = kept.drive ? await putDrive(home, kept.drive.id, draft, kept.etag) : await addDrive(home, draft, key);
    setKept({ drive: data, etag });
    onSaved();
    const { data: siting } = await findPositions(home, data.id);
    setFound({ siting, draft });
    say("The drawing is saved.");
  });
  return { kept, found, submission, find };
}

/** @param {{ opened: import("../drive.js").Opened, onSaved: () => void }} props */
export function DriveEditor({ opened, onSaved }) {
  const first = opened.drive ? { label: opened.drive.label, drawing: opened.drive.drawing } : { label: "Our drive", drawing: emptyDrawing() };
  const { draft, canUndo, change, undo } = useDraft(first);
  const { kept, found, submission, find } = useFinding(opened, onSaved);
  const { drawing } = draft;
  const draw = (/** @type {Drawing} */ next) => change({ ...draft, drawing: next });
  const isSaved = saysSame(draft, found ? found.draft : first);
  useUnsavedGuard(!isSaved && !submission.isBusy);
  const siting = found && saysSame(draft, found.draft) ? found.siting : null;
  const add = (/** @type {any} */ tool, /** @type {any} */ start, /** @type {any} */ end) => {
    const { drawing: next, fault } = withThing(drawing, tool, start, end);
    if (next) draw(next);
    return fault ?? "";
  };
  return html`
    <section class=${`card ${siting ? "drive-drawn" : ""}`} aria-labelledby="drawing-title">
      <h2 id="drawing-title">The drawing</h2>
      <${Board} drawing=${drawing} onAdd=${add} onUndo=${undo} canUndo=${canUndo} />
      <${ThingList} drawing=${drawing} onRemove=${(/** @type {any} */ list, /** @type {number} */ index) => draw(withoutThing(drawing, list, index))}
        onValue=${(/** @type {any} */ list, /** @type {number} */ index, /** @type {any} */ path, /** @type {any} */ value) => draw(withValue(drawing, list, index, path, value))} />
      <${DriveSettings} draft=${draft} onChange=${change} />
      <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${driveFieldWords} />
      <div class="form-actions"><button type="button" class="button button-main" disabled=${submission.isBusy} onClick=${() => find(draft)}>
        ${submission.isBusy ? "Working it out…" : "Find the place"}</button></div>
      ${found && !siting && html`<p class="hint">The drawing has changed since the place was found: find it again.</p>`}
    </section>
    ${siting && kept.drive && html`<${SitingResult} siting=${siting} drawing=${drawing} driveId=${kept.drive.id} />`}`;
}
