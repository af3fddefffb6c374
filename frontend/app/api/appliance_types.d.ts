/** Shapes of a home's appliances and of the advice on them, as the service gives and takes them. */
import type { WorkingStep } from "./types.d.ts";

export type ApplianceKind = "dishwasher" | "washing_machine" | "tumble_dryer" | "immersion_heater" | "own";

/** null: the figure of the book, or as assumed. Times are "HH:MM" on the home's clock. */
export interface Appliance {
  kind: ApplianceKind;
  label: string;
  runs_a_week: number;
  run_kwh: number | null;
  power_w: number | null;
  run_minutes: number | null;
  usual_start: string | null;
}

export interface Awake {
  from: string;
  until: string;
}

export interface Appliances {
  appliances: Appliance[];
  awake: Awake[];
}

export interface ApplianceAdviceItem {
  kind: ApplianceKind;
  label: string;
  move: "move" | "stay" | "not_suggested" | "not_known";
  headline: string;
  usual_start: string;
  start: string | null;
  runs_a_week: number;
  yearly_cost_pence: string | null;
  yearly_saving_pence: string | null;
  barriers: string[];
  figures: { what: string; value: string; source: string }[];
  working: WorkingStep[];
}

export interface ApplianceAdvice {
  awake: Awake[];
  is_awake_assumed: boolean;
  tariff_names: string[];
  are_past_prices: boolean;
  cautions: string[];
  items: ApplianceAdviceItem[];
}
