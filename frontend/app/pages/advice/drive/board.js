/** The sheet to draw on: by tapping, or by arrow keys and Enter with a cursor. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";
import { POINT_TOOLS, snapped, tenth } from "../../../lib/drive_drawing.js";
import { letterOf, viewBoxOf } from "../../../lib/drive_picture.js";
import { TOOL_GROUPS, tapWords } from "../../../lib/drive_words.js";
import { BoardShapes } from "./board_shapes.js";

/** @typedef {import("../../../api/drive_types.d.ts").Spot} Spot */
/** @typedef {import("../../../api/drive_types.d.ts").Drawing} Drawing */
/** @typedef {import("../../../lib/drive_drawing.js").Tool} Tool */

/** @type {Record<string, Spot>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const STEPS = [["0.5", "half a metre"], ["0.1", "10 cm"], ["1", "one metre"]];

/**
 * Where on the sheet a pointer is, in metres.
 * @param {MouseEvent} event
 * @returns {Spot | null}
 */
function pointed(event) {
  const sheet = /** @type {SVGSVGElement} */ (event.currentTarget);
  const onScreen = sheet.getScreenCTM();
  if (!onScreen) return null;
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(onScreen.inverse());
  return [x, y];
}

/** @param {{ tool: Tool, onTool: (tool: Tool) => void, step: number, onStep: (step: number) => void }} props */
function Tools({ tool, onTool, step, onStep }) {
  const id = useId();
  return html`<div class="drive-tools form">
    <div class="field"><label for=${`${id}-tool`}>Draw</label>
      <select id=${`${id}-tool`} value=${tool} onChange=${(/** @type {any} */ event) => onTool(event.currentTarget.value)}>
        ${TOOL_GROUPS.map(([group, tools]) => html`<optgroup key=${group} label=${group}>${tools.map(([value, label]) =>
          html`<option key=${value} value=${value} selected=${value === tool}>${label}</option>`)}</optgroup>`)}
      </select></div>
    <div class="field"><label for=${`${id}-step`}>To the nearest</label>
      <select id=${`${id}-step`} onChange=${(/** @type {any} */ event) => onStep(Number(event.currentTarget.value))}>
        ${STEPS.map(([value, label]) => html`<option key=${value} value=${value} selected=${Number(value) === step}>${label}</option>`)}
      </select></div>
  </div>`;
}

/**
 * The pencil: which tool, where it has begun, where the cursor of the keyboard is.
 * @param {Drawing} drawing
 * @param {(tool: Tool, start: Spot, end: Spot) => string} onAdd
 */
function usePencil(drawing, onAdd) {
  const [tool, setTool] = useState(/** @type {Tool} */ ("wall"));
  const [step, setStep] = useState(0.5);
  const [start, setStart] = useState(/** @type {Spot | null} */ (null));
  const [cursor, setCursor] = useState(/** @type {Spot | null} */ (null));
  const [fault, setFault] = useState("");
  const place = (/** @type {Spot} */ spot) => {
    const at = snapped(drawing, spot, step);
    if (!POINT_TOOLS.has(tool) && !start) {
      setFault("");
      setStart(at);
      return;
    }
    setFault(onAdd(tool, start ?? at, at));
    setStart(null);
  };
  const press = (/** @type {KeyboardEvent} */ event) => {
    const here = cursor ?? /** @type {Spot} */ ([Math.round(drawing.width_m / 2), Math.round(drawing.depth_m / 2)]);
    const arrow = ARROWS[event.key];
    if (event.key === "Escape") setStart(null);
    else if (event.key === "Enter" || event.key === " ") place(here);
    else if (arrow) {
      const by = event.shiftKey ? 1 : step;
      const within = (/** @type {number} */ value, /** @type {number} */ most) => tenth(Math.min(Math.max(value, 0), most));
      setCursor([within(here[0] + by * arrow[0], drawing.width_m), within(here[1] + by * arrow[1], drawing.depth_m)]);
    } else return;
    event.preventDefault();
    if (!cursor && !arrow) setCursor(here);
  };
  return {
    tool, step, start, cursor, fault, place, press, setStep,
    choose: (/** @type {Tool} */ next) => { setTool(next); setStart(null); setFault(""); },
    giveUp: () => setStart(null),
  };
}

/**
 * @param {{
 *   drawing: Drawing,
 *   onAdd: (tool: Tool, start: Spot, end: Spot) => string, onUndo: () => void, canUndo: boolean,
 * }} props
 */
export function Board({ drawing, onAdd, onUndo, canUndo }) {
  const id = useId();
  const pencil = usePencil(drawing, onAdd);
  const { start, cursor } = pencil;
  const undo = () => (start ? pencil.giveUp() : onUndo());
  const tap = (/** @type {MouseEvent} */ event) => {
    const at = pointed(event);
    if (at) pencil.place(at);
  };
  const where = cursor ? `Cursor ${cursor[0]} m from the left, ${cursor[1]} m from the top.` : "";
  return html`
    <${Tools} tool=${pencil.tool} onTool=${pencil.choose} step=${pencil.step} onStep=${pencil.setStep} />
    <p class="drive-next" id=${`${id}-next`}>${tapWords(pencil.tool, start !== null, POINT_TOOLS.has(pencil.tool))}</p>
    <svg class="drive-board" role="application" tabindex="0" aria-label="Sheet of the drawing" aria-describedby=${`${id}-next ${id}-keys`}
      font-size=${letterOf(drawing)}
      viewBox=${viewBoxOf(drawing)} onClick=${tap} onKeyDown=${pencil.press}>
      <${BoardShapes} drawing=${drawing} />
      ${start && html`<circle class="drive-start" cx=${start[0]} cy=${start[1]} r="0.22" />`}
      ${cursor && html`<path class="drive-cursor" d=${`M${cursor[0] - 0.4} ${cursor[1]}h0.8M${cursor[0]} ${cursor[1] - 0.4}v0.8`} />`}
    </svg>
    <p class="fault" role="alert">${pencil.fault}</p>
    <p class="unseen" role="status">${`${where} ${start ? `Begun at ${start[0]}, ${start[1]}.` : ""}`.trim()}</p>
    <div class="drive-acts form-actions"><button type="button" class="button" disabled=${!canUndo && !start} onClick=${undo}>Undo</button></div>
    <p class="hint drive-hint" id=${`${id}-keys`}>One square is one metre. With the keyboard: arrow keys move the cursor (with Shift by a metre), Enter places, Escape gives up.
      Every value can also be typed in the list below.</p>`;
}
