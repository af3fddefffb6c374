/** One car's turn: timer times, energy, cost, the charge it will reach, and its charge now. */
import { html } from "htm/preact";
import { Details } from "../../components/details.js";
import { Facts } from "../../components/facts.js";
import { Later } from "../../components/later.js";
import { dayWords } from "../../lib/headline_words.js";
import { formatPounds } from "../../lib/money.js";
import { formatAmps, formatEnergy, formatPercent } from "../../lib/quantity.js";
import { formatLength, formatPeriod, formatTime, localDay, ms } from "../../lib/time.js";
import { turnTotals } from "../../lib/tonight.js";

/** @typedef {import("../../lib/tonight.js").CarTurn} CarTurn */
/** @typedef {import("../../lib/bars.js").Bar} Bar */
/** @typedef {import("../../api/types.d.ts").Plan} Plan */

const loadEntry = () => import("./charge_entry.js").then((part) => part.ChargeEntry);
const loadBackAgain = () => import("./back_again.js").then((part) => part.BackAgain);

/** Is the car away, or does it leave today and come back? @param {Plan["vehicles"][0]} vehicle @param {Plan} plan @param {number} nowMs */
function isOutToday({ stays }, plan, nowMs) {
  const today = localDay(nowMs, plan.zone);
  return stays.some(({ arrives_at: back }, place) => {
    const left = place > 0 ? stays[place - 1].leaves_at : plan.starts_at;
    return left && ms(back) > Math.max(nowMs, ms(plan.starts_at)) && localDay(left, plan.zone) <= today;
  });
}

/** @param {{ turn: CarTurn, zone: string, nowMs: number }} props */
function TimerTimes({ turn, zone, nowMs }) {
  return html`<div class="timer">
    <p class="timer-title">${turn.blocks.length === 1 ? "Set the timer" : "Set the timer to these charging times"}</p>
    <ul class="timer-times">${turn.blocks.map((block) => html`<li key=${block.starts_at}>
      <span class="timer-time">${formatPeriod(block, zone)}</span>
      <span class="small">${dayWords(block.starts_at, nowMs, zone)}, ${formatLength(block.starts_at, block.ends_at)}</span></li>`)}</ul>
  </div>`;
}

/**
 * @param {CarTurn} turn
 * @param {Plan} plan
 * @param {number} nowMs
 * @returns {[string, unknown][]}
 */
function turnFacts(turn, plan, nowMs) {
  const { vehicle, stay } = turn;
  const { energyKwh, costPence } = turnTotals(turn);
  const leaves = stay?.leaves_at ? `for ${formatTime(stay.leaves_at, plan.zone)} ${dayWords(stay.leaves_at, nowMs, plan.zone)}` : "";
  return [
    ["Charge reached", html`<strong>${formatPercent(stay?.reached_percent)}</strong> ${leaves}`],
    ["Cost", html`<strong class="nowrap">${formatPounds(costPence)}</strong>`],
    ["Energy", formatEnergy(energyKwh)],
    ["Outlet", vehicle.outlet_label ? `${vehicle.outlet_label}, up to ${formatAmps(vehicle.limit_a)}` : "not known"],
  ];
}

/**
 * Why a car has no charging time.
 * @param {{ bar: Bar | null, plan: Plan }} props
 */
function NoTurn({ bar, plan }) {
  if (plan.is_stopped) return html`<p><strong>Charging is stopped.</strong> <a href="/outlets">Is it safe to use?</a></p>`;
  if (bar) return html`<p><strong>${bar.what}.</strong> ${bar.nextStep} <a href="/outlets">Is it safe to use?</a></p>`;
  return html`<p>No charging is planned for this car in the next seven days.</p>`;
}

/**
 * @param {{ turn: CarTurn, bar: Bar | null, plan: Plan, nowMs: number, isWorking: boolean, onSaved: () => void }} props
 */
export function CarTonight({ turn, bar, plan, nowMs, isWorking, onSaved }) {
  const { vehicle } = turn;
  const id = `car-${vehicle.vehicle_id}`;
  const hasTurn = turn.blocks.length > 0 && !bar && !plan.is_stopped;
  const when = hasTurn && !turn.isTonight ? html`<p class="car-when">Nothing tonight. Next charging ${dayWords(turn.blocks[0].starts_at, nowMs, plan.zone)}:</p>` : null;
  return html`<section class="card car" aria-labelledby=${id}>
    <h2 id=${id}>${vehicle.label}</h2>
    ${hasTurn
      ? html`${when}<${TimerTimes} turn=${turn} zone=${plan.zone} nowMs=${nowMs} />
          <${Facts} rows=${turnFacts(turn, plan, nowMs)} />
          <p class="small"><a href="/working">How this is worked out<span class="unseen"> for ${vehicle.label}</span></a></p>`
      : html`<${NoTurn} bar=${bar} plan=${plan} />`}
    <${Later} load=${loadEntry} props=${{ vehicle, plan, nowMs, isWorking, onSaved }} />
    ${isOutToday(vehicle, plan, nowMs) && html`<${Details} summary=${html`Back earlier or later?<span class="unseen"> ${vehicle.label}</span>`}>${() =>
      html`<${Later} load=${loadBackAgain} props=${{ vehicleId: vehicle.vehicle_id, zone: plan.zone, nowMs, isWorking, onSaved }} />`}</${Details}>`}
  </section>`;
}
