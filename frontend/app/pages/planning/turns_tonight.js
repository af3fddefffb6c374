/** Who plugs in tonight where cars share an outlet, with the reason. */
import { html } from "htm/preact";
import { swapTime, tonightsTurns } from "../../lib/turns.js";

/** @param {{ plan: import("../../api/types.d.ts").Plan, nowMs: number }} props */
export function TurnsTonight({ plan, nowMs }) {
  const turns = tonightsTurns(plan, nowMs);
  if (turns.length === 0) return null;
  return html`<section class="card turns" aria-labelledby="turns-title">
    <h2 id="turns-title">Who plugs in tonight</h2>
    <ul class="turns-list">${turns.map((turn) => {
      const from = swapTime(turn, nowMs, plan.zone);
      return html`<li key=${turn.outlet_id + turn.starts_at}><strong>${turn.label}</strong> at ${turn.outlet_label}${from ? `, from ${from}` : ""}.
        ${turn.reason && html`<span class="small turns-reason">${turn.reason}</span>`}</li>`;
    })}</ul>
    <p class="small"><a href="/habits">When you swap the cars</a> · <a href="/week">Who has the outlet later</a></p>
  </section>`;
}
