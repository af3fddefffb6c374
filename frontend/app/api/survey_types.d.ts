/** The shapes of the home survey and of a home's arithmetic. */
import type { CircuitRun, WorkingStep } from "./types.d.ts";

export type SurveyStepName = "home" | "supply" | "outlet" | "circuit" | "lead" | "consents";
export type ConsentKind = "landlord" | "freeholder" | "insurer";
export type CheckAnswer = "passes" | "fails" | "not_known";

export interface LargeLoad {
  kind: string;
  power_w: number | null;
}

export interface Consent {
  kind: ConsentKind;
  answer: "yes" | "no" | "not_needed" | "not_known";
  given_on: string | null;
  file_id: string | null;
  recorded_at: string | null;
}

export interface SurveyStep {
  step: SurveyStepName;
  item_id: string | null;
  label: string;
  answers: Record<string, any>;
  saved_at: string | null;
  is_complete: boolean;
}

export interface Survey {
  steps: SurveyStep[];
  electrician_questions: string[];
  consents: Consent[];
  is_complete: boolean;
  saved_share: string;
}

export interface Refusal {
  field: string;
  value: string;
  rule: string;
}

export interface Demand {
  demand_a: string | null;
  at_least_a: string;
  method: string;
  rows: { kind: string; connected_a: string; counted_a: string; rule: string }[];
  not_known: string[];
  action: "connect_and_notify" | "apply_first" | null;
  reasons: string[];
  refused: Refusal[];
  working: WorkingStep[];
}

export interface CircuitArithmetic {
  current_a: string;
  answer: CheckAnswer;
  capacity_a: string | null;
  governed_by: string;
  drop_v: string | null;
  drop_percent: string | null;
  drop_limit_v: string;
  drop_answer: CheckAnswer;
  runs: { label: string; capacity_a: string | null; missing: string[]; answer: CheckAnswer }[];
  rings: { label: string; leg_a: string; other_leg_a: string; is_worst_place: boolean }[];
  refused: Refusal[];
  working: WorkingStep[];
}

export type RunEntry = Omit<CircuitRun, "position">;
