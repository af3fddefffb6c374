/** One report: what was seen, who entered it, what it stops and what lifts it; or why it was withdrawn. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { fileAddress } from "../../../api/files.js";
import { Facts } from "../../../components/facts.js";
import { formatRecordInstant } from "../../../lib/record_dates.js";
import { WithdrawForm } from "./withdraw_form.js";

/** @typedef {import("../../../api/check_types.d.ts").SafetyReport} SafetyReport */
/** @typedef {import("../../../api/types.d.ts").Household} Household */

/** @type {Record<SafetyReport["state"], string>} */
const STATE_WORDS = { open: "Stands", lifted: "Lifted by evidence", withdrawn: "Withdrawn as a mistake" };

/** @param {{ report: SafetyReport, home: Household }} props */
function Withdrawn({ report, home }) {
  const by = report.withdrawn_by_name ? ` by ${report.withdrawn_by_name}` : "";
  return html`<div class="note"><p class="note-title">Withdrawn on ${formatRecordInstant(report.withdrawn_at ?? "", home.zone, Date.now())}${by}</p>
    <p>Why: ${report.withdrawal_reason}</p>
    ${report.withdrawal_file_id
      ? html`<img class="evidence" src=${fileAddress(home.id, report.withdrawal_file_id)} alt="Photo of what was taken for the sign" />`
      : html`<p class="small">No photo was kept with it.</p>`}
    <p class="small">The report itself stays in the record.</p></div>`;
}

/** @param {{ report: SafetyReport, home: Household }} props */
function Stopped({ report }) {
  return html`<p class="list-title">What it stops, and what lifts it</p>
    <ul>${report.items.map((item) => html`<li key=${item.item_kind + item.item_id}><strong>${item.label}:</strong> ${item.lifted_by ? `lifted, ${item.lifted_by}` : item.lifts}</li>`)}</ul>`;
}

/** @param {{ report: SafetyReport, home: Household, mayWithdraw: boolean, onWithdrawn: (id: string) => void }} props */
export function ReportCard({ report, home, mayWithdraw, onWithdrawn }) {
  const [isOpen, setOpen] = useState(false);
  const now = Date.now();
  /** @type {[string, unknown][]} */
  const rows = [
    ["Entered", `${formatRecordInstant(report.reported_at, home.zone, now)} by ${report.reported_by_name ?? "somebody no longer known"}`],
    ["Seen", formatRecordInstant(report.seen_at, home.zone, now)],
    ["How", report.check_id ? "found in a check" : "reported by itself"],
  ];
  if (report.note) rows.push(["Note", report.note]);
  return html`<section class="card" aria-labelledby=${`report-${report.id}`}>
    <div class="card-head"><h2 class="card-title" id=${`report-${report.id}`}>${report.words}</h2><span class=${`tag ${report.state === "open" ? "tag-do_not_use" : ""}`}>${STATE_WORDS[report.state]}</span></div>
    <${Facts} rows=${rows} class="facts-long" />
    ${report.state === "withdrawn" ? html`<${Withdrawn} report=${report} home=${home} />` : html`<${Stopped} report=${report} home=${home} />`}
    ${mayWithdraw && report.state !== "withdrawn" && (isOpen
      ? html`<${WithdrawForm} report=${report} home=${home} onCancel=${() => setOpen(false)} onDone=${() => onWithdrawn(report.id)} />`
      : html`<div class="form-actions"><button type="button" class="button" onClick=${() => setOpen(true)}>Withdraw as a mistake<span class="unseen">: ${report.words}</span></button></div>`)}
  </section>`;
}
