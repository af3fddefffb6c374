/** Comparisons of a home with what it might be, and what small changes would be worth. */
import type { RoutineDeparture, WorkingStep } from "./types.d.ts";

export interface WhatIfChanges {
  routine?: { vehicle_id: string; departures: RoutineDeparture[] } | null;
  second_car?: Record<string, unknown> | null;
  tariff?: { tariff_id: string } | null;
  outlet?: { outlet_id: string; kind: "socket_13a" | "charging_point"; limit_a: number; phases: number; control: string } | null;
  supply?: { fuse_a: number | null; phases: number } | null;
  limits?: { vehicle_id: string; ceiling_percent: number | null; reserve_percent: number | null } | null;
}

export interface SideTotals {
  cost_pence: string | null;
  energy_kwh: number;
  short_kwh: number;
}

export interface Side extends SideTotals {
  short_departures: number;
  night_count: number;
}

export interface Yearly {
  saved_pence: string | null;
  closed_kwh: number;
  as_if: string;
}

export interface WhatIf {
  id: string;
  label: string;
  created_at: string;
  is_shared: boolean;
  changes: WhatIfChanges;
  result: {
    starts_at: string;
    ends_at: string;
    now: Side;
    changed: Side;
    yearly: Yearly;
    notes: string[];
    working: WorkingStep[];
  };
}

export interface SharedWhatIf {
  id: string;
  label: string;
  created_at: string;
  result: { now: SideTotals; changed: SideTotals; yearly: Yearly };
}

export interface WorthItem {
  kind: "hour_more" | "more_current" | "bigger_fuse" | "full_ceiling";
  label: string;
  before: number | null;
  after: number | null;
  saved_pence: string | null;
  closed_kwh: number;
  working: WorkingStep[];
}

export interface TariffChoice {
  id: string;
  name: string;
}
