import type { WorkingStep } from "./types.d.ts";

export type UseSource = "half_hours" | "meter" | "told" | "typical";
export type MeterKind = "not_known" | "single_rate" | "two_rate" | "half_hourly";
export type Firmness = "firm" | "close" | "only_one" | "none";

export interface HouseUse {
  yearly_kwh: number;
  source: UseSource;
  working: WorkingStep[];
}

export interface BreakEven {
  against: string;
  share_percent: number | null;
  own_share_percent: number;
}

export interface RankedTariff {
  rank: number;
  tariff_id: string;
  name: string;
  is_present: boolean;
  is_estimate: boolean;
  yearly_pence: number;
  house_pence: number;
  car_pence: number;
  standing_pence: number;
  vat_pence: number;
  car_kwh: number;
  pence_per_mile: string | null;
  difference_pence: number | null;
  leaving_pence: number | null;
  year_one_pence: number | null;
  bands: { name: string; energy_kwh: number; cost_pence: number }[];
  reasons: string[];
  questions: string[];
  break_even: BreakEven | null;
  working: WorkingStep[];
}

export interface LeftOut {
  tariff_id: string;
  name: string;
  reasons: string[];
}

export interface Flip {
  what: "house_kwh" | "car_miles" | "cheap_share";
  of: string;
  value: string;
  flips_at: string | null;
  is_near: boolean;
}

export interface TariffComparison {
  starts_on: string;
  ends_on: string;
  meter_kind: MeterKind;
  region: string | null;
  payment: string | null;
  house_use: HouseUse;
  car_kwh_a_year: number;
  car_miles_a_year: number;
  petrol: { pence_per_mile: string | null; is_current: boolean; working: WorkingStep[] };
  items: RankedTariff[];
  left_out: LeftOut[];
  firmness: {
    verdict: Firmness;
    between: string[];
    difference_pence: number | null;
    flips: Flip[];
    reasons: string[];
    rule: string;
  };
  leaving: string;
  notes: string[];
}

export interface Meter extends Record<string, unknown> {
  meter_kind: MeterKind;
  yearly_kwh: number | null;
}

export interface MeterReading {
  id: string;
  read_on: string;
  kwh: string;
  register: string;
}

export interface Taking {
  meter_needed: "any" | "two_rate" | "half_hourly";
  needs_charging_point: boolean;
  other_terms: string;
  is_open: boolean;
  exit_fee_pence: number | null;
  fixed_months: number | null;
}
