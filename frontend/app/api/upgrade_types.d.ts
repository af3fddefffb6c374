/** Works at a home's outlet, their quotes, and the scheme's list for a budget, as the service tells them. */
import type { ClearanceWord, WorkingStep } from "./types.d.ts";

export type Work = "ev_marked_socket" | "dedicated_circuit" | "point_untethered" | "point_tethered";
export type UpgradeAnswer = "safety_first" | "pays_back" | "closes_shortfall" | "stay" | "not_known" | "no_question";
export type Place = "safety" | "chosen" | "not_reached" | "no_gain" | "not_known" | "not_reckoned";

export interface UpgradeMoney {
  work: Work;
  words: string;
  cost_pence: string | null;
  is_quoted: boolean;
  is_cost_assumed: boolean;
  saved_pence: string | null;
  avoided_kwh: number;
  payback_years: string | null;
  discounted_years: string | null;
  worth_pence: string | null;
  pays_back: boolean | null;
}

export interface UpgradeOption extends UpgradeMoney {
  from_losses_pence: string | null;
  from_hours_pence: string | null;
  from_more_pence: string | null;
  public_pence: string | null;
  rates_percent: string[];
  most_cost_pence: string | null;
  least_kwh: number | null;
  working: WorkingStep[];
}

export interface UpgradeNote {
  kind: string;
  works: Work[];
  words: string;
  source: string;
  standing: string;
  working: WorkingStep[];
}

export interface Upgrade {
  answer: UpgradeAnswer;
  best: Work | null;
  headline: string;
  outlet: string;
  is_stopped: boolean;
  is_as_if_cleared: boolean;
  has_second_car: boolean;
  as_if: string;
  life_years: number | null;
  rate_percent: string;
  short_kwh: number | null;
  options: UpgradeOption[];
  takes: UpgradeNote[];
  notes: string[];
  working: WorkingStep[];
}

export interface QuoteEntry {
  kind: Work;
  cost_pence: string;
  quoted_on: string;
  note: string;
}

export interface Quote extends QuoteEntry {
  id: string;
}

export interface RankedHome {
  rank: number;
  household_id: string;
  reference: string;
  clearance: ClearanceWord;
  place: Place;
  is_paid_for: boolean;
  why: string;
  reckoned_at: string | null;
  work: UpgradeMoney | null;
}

export interface SchemeUpgrades {
  budget_pounds: number;
  spent_pounds: number;
  avoided_kwh: number;
  worth_pence: string;
  home_count: number;
  reckoned_count: number;
  life_years: number;
  rate_percent: string;
  counts: { place: Place; household_count: number }[];
  items: RankedHome[];
  working: WorkingStep[];
}
