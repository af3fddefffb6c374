/** The verdict on a lead, and what a car's odometer says, as the service gives them. */
import type { WorkingStep } from "./types.d.ts";

export type LeadVerdictWord = "enough" | "enough_most_weeks" | "not_enough" | "not_known";

/** A day that was kept, beside what the night before it gives; both at the wall. */
export interface LeadNight {
  on: string;
  miles: string;
  need_kwh: number;
  given_kwh: number;
  need_minutes: number;
  plugged_minutes: number;
}

export interface LeadCloser {
  kind: string;
  words: string;
  night_percent: number;
  week_percent: number;
  would_close: boolean;
  note: string;
  working: WorkingStep[];
}

export interface LeadLongJourney {
  miles: string;
  words: string;
  nights_to_fill: number | null;
  elsewhere_kwh: number;
  nights_until_usual: number | null;
}

export interface LeadAnswer {
  verdict: LeadVerdictWord;
  night_percent: number;
  week_percent: number;
  years: number;
  is_battery: boolean;
  sure: { level: string; words: string; low_percent: number; high_percent: number; could_be_percent: number | null };
  carried_miles: string;
  driven_miles: string;
  margin_miles: string;
  nights: LeadNight[];
  long_journey: LeadLongJourney;
  closers: LeadCloser[];
  working: WorkingStep[];
}

export interface LeadVerdict {
  vehicle_id: string;
  verdict: LeadVerdictWord;
  headline: string;
  first: string;
  next_step: string;
  not_known_because: "outlet" | "not_cleared" | "diary" | "routine" | null;
  days_kept: number;
  days_needed: number;
  cleared_until: string | null;
  feeds_by: string;
  power_kw: number | null;
  assumptions: string[];
  answer: LeadAnswer | null;
}

export interface OdometerReading {
  id: string;
  read_on: string;
  miles: string;
}

export interface Odometer {
  items: OdometerReading[];
  between: { after_on: string; until_on: string; miles: string; kept_miles: string; open_day_count: number; is_less: boolean }[];
  estimated: { on: string; miles: string }[];
}

export interface DiaryImport {
  days: { on: string; miles: string }[];
  new_count: number;
  changed_count: number;
  is_dry_run: boolean;
}
