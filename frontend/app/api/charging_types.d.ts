/** Shapes of charging records and of what was charged by day, as the service gives and takes them. */
import type { WorkingStep } from "./types.d.ts";

export type ChargingPlace = "home" | "public" | "work";

export interface ChargingEntry {
  vehicle_id: string;
  place: ChargingPlace;
  starts_at: string;
  ends_at: string;
  energy_kwh: number;
  outlet_id: string | null;
  is_metered: boolean;
  half_hours?: { starts_at: string; energy_kwh: number }[];
  paid_pence: number | null;
  note: string;
}

export interface ChargingRecord extends ChargingEntry {
  id: string;
  source: "typed" | "csv" | "ocpi";
  external_id: string | null;
}

export interface ChargingPage {
  items: ChargingRecord[];
  total: number;
  page: number;
  page_size: number;
}

export interface ChargingImport {
  is_dry_run: boolean;
  added_count: number;
  skipped_count: number;
  added_kwh: number;
  first_at: string | null;
  last_at: string | null;
}

/** Money is a decimal text of pence; null: not known. */
export interface ChargedDay {
  on: string;
  home_kwh: number;
  elsewhere_kwh: number;
  paid_pence: number;
  unpaid_count: number;
  cost_pence: string | null;
  unpriced_kwh: number;
  outside_cheap_kwh: number;
  dearer_pence: string | null;
  planned_kwh: number | null;
  estimate_kwh: number;
  is_spread: boolean;
}

export interface ChargedTotals {
  home_kwh: number;
  elsewhere_kwh: number;
  paid_pence: number;
  unpaid_count: number;
  cost_pence: string;
  unpriced_kwh: number;
  outside_cheap_kwh: number;
  dearer_pence: string;
  uncompared_kwh: number;
  estimate_kwh: number;
  planned_kwh: number;
  planned_days: number;
  home_on_planned_days_kwh: number;
}

export interface Charged {
  days: ChargedDay[];
  totals: ChargedTotals;
  estimates: { on: string; vehicle_id: string; energy_kwh: number; basis: "diary" | "odometer" }[];
  notes: string[];
  working: WorkingStep[];
}
