/** Extension leads in use, and each car with its lead and outlet, as the service describes them. */
import type { ClearanceWord, LeadClearance, OutletClearance, WorkingStep } from "./types.d.ts";

export type YesNo = "yes" | "no" | "not_known";

export interface ExtensionEntry {
  outlet_id: string;
  label: string;
  mark: string;
  size_mm2: number | null;
  length_m: number | null;
  is_coiled: YesNo;
  is_chained: YesNo;
  has_several_sockets: YesNo;
  place: "indoors" | "outdoors" | "not_known";
  is_outdoor_rated: YesNo;
  reel_unwound_w: number | null;
}

/** A recorded use; allows_charging is null once it is not used any more. */
export interface ExtensionLead extends ExtensionEntry {
  id: string;
  outlet_label: string;
  recorded_at: string;
  recorded_by: string | null;
  ended_at: string | null;
  ended_by: string | null;
  allows_charging: boolean | null;
  limit_a: number | null;
  reasons: string[];
  can_be_lifted: boolean | null;
  do_now: string[];
  working: WorkingStep[];
}

/** A car with the lead and the outlet it charges with; lead_id is null where the cable is part of the outlet. */
export interface CarPair {
  vehicle_id: string;
  vehicle_label: string;
  outlet_id: string;
  outlet_label: string;
  lead_id: string | null;
  lead_label: string | null;
  clearance: ClearanceWord;
  drawn_a: number | null;
  allowed_a: number | null;
  set_to_a: number | null;
  words: string;
  working: WorkingStep[];
}

export interface HomeClearance {
  at: string;
  clearances: OutletClearance[];
  lead_clearances: LeadClearance[];
  pairs: CarPair[];
}
