/** The shapes of checks, incidents, reports and the supervised first charge. */
import type { ClearanceWord, Nation } from "./types.d.ts";

export interface Emergency {
  number: string;
  source: string;
  mark: string;
  is_confirmed: boolean;
}

export interface PossibleAnswer {
  answer: string;
  words: string;
  sign: string | null;
  means: string;
}

export interface Question {
  question: string;
  words: string;
  is_touching: boolean;
  answers: PossibleAnswer[];
}

export interface Sign {
  sign: string;
  group: "check" | "incident" | "record";
  words: string;
  outlets: "none" | "outlet" | "circuit" | "home";
  acts_on_lead: boolean;
  effect: ClearanceWord;
  lifts: { item_kind: "outlet" | "lead"; words: string }[];
  do_now: string[];
  source: string;
  mark: string;
}

export interface SignTable {
  edition: string;
  review: string;
  nation: Nation;
  emergency: Emergency;
  questions: Question[];
  signs: Sign[];
}

export interface StoppedItem {
  item_kind: "outlet" | "lead";
  item_id: string;
  label: string;
  clearance: ClearanceWord;
  lifts: string;
  lifted_by: string | null;
}

export interface SafetyReport {
  id: string;
  sign: string;
  words: string;
  effect: ClearanceWord;
  state: "open" | "lifted" | "withdrawn";
  outlet_id: string | null;
  lead_id: string | null;
  /** The check that found it; null where it was reported by itself. */
  check_id: string | null;
  seen_at: string;
  reported_at: string;
  reported_by_name: string | null;
  note: string;
  withdrawn_by_name: string | null;
  withdrawn_at: string | null;
  withdrawal_reason: string | null;
  withdrawal_file_id: string | null;
  items: StoppedItem[];
}

/** A safety officer's decision. */
export interface Override {
  id: string;
  kind: "stricter" | "extension";
  item_kind: "outlet" | "lead";
  item_id: string;
  clearance: ClearanceWord | null;
  limit_a: number | null;
  due_on: string | null;
  new_due_on: string | null;
  visit_id: string | null;
  reason: string;
  made_at: string;
  made_by_name: string | null;
  ended_at: string | null;
  ended_by_name: string | null;
}

export interface OverrideEntry {
  kind: "stricter" | "extension";
  item_kind: "outlet" | "lead";
  item_id: string;
  reason: string;
  clearance?: string;
  limit_a?: number | null;
  due_on?: string;
  new_due_on?: string;
  visit_id?: string;
}

export interface CheckEntry {
  outlet_id: string;
  lead_id: string | null;
  answers: { question: string; answer: string }[];
  note: string;
}

export interface CheckReply {
  do_now: string[];
  outcome: "stop" | "no_sign" | "not_complete";
  id: string;
  outlet_id: string;
  lead_id: string | null;
  made_at: string;
  is_clear: boolean;
  reports: SafetyReport[];
}

export interface IncidentEntry {
  sign: string;
  outlet_id: string | null;
  lead_id: string | null;
  note: string;
}

export type FeelAnswer = "cool" | "noticeable" | "warm" | "too_hot";
export type SupervisedState = "first_to_come" | "later_to_come" | "clear" | "stopped" | "lapsed";

export interface SupervisedCharge {
  id: string;
  outlet_id: string;
  lead_id: string | null;
  current_a: number;
  state: SupervisedState;
  words: string;
  started_at: string;
  first_from_at: string;
  later_from_at: string;
  until_at: string;
  first_felt_at: string | null;
  first_answer: FeelAnswer | null;
  later_felt_at: string | null;
  later_answer: FeelAnswer | null;
  ended_at: string | null;
  is_clear: boolean;
}

export interface FeelingReply {
  do_now: string[];
  charge: SupervisedCharge;
  reports: SafetyReport[];
}

export interface SettingShown {
  lead_id: string;
  set_a: number;
  setting_shown_a: number;
  setting_shown_at: string;
  file_id: string;
}

/** A stop answer as it is shown, and kept on the device to be read again. */
export interface StopAnswerShown {
  householdId: string;
  shownAt: string;
  seen: string[];
  doNow: string[];
  emergency: Emergency;
  stopped: { label: string; kind: "outlet" | "lead"; lifts: string }[];
  /** Has somebody said that they read it? */
  isRead: boolean;
  /** Has the service recorded the report? */
  isRecorded: boolean;
  /** The report while no answer has come: it is sent again with its key, also after a reload. */
  unsent: StopReport | null;
}

/** A report that stops use, as it is sent. */
export interface StopReport {
  path: string;
  body: unknown;
  key: string;
}

/** What every such report is answered with; an incident's answer holds one report, the others several. */
export interface StopReply {
  do_now: string[];
  report?: SafetyReport;
  reports?: SafetyReport[];
}
