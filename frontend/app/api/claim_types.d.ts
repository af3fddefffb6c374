/** The shapes of business trips, claims, statements and the scheme's rules. Money is whole pence; miles are decimal texts. */
import type { Paged, WorkingStep } from "./types.d.ts";

export type HeldAs = "own_car" | "company_car";
export type CompanyMethod = "advisory_rate" | "actual_cost";
export type ClaimState = "draft" | "sent" | "queried" | "approved" | "refused" | "stated";
export type LineKind = "mileage_allowance" | "advisory_rate" | "actual_cost" | "adjustment" | "cap" | "reversal";

export interface CarHolding {
  id: string;
  vehicle_id: string;
  vehicle_label: string;
  from_on: string;
  held_as: HeldAs;
  recorded_at: string;
}

export interface TripEntry {
  vehicle_id: string;
  on_date: string;
  origin: string;
  destination: string;
  reason: string;
  miles: string;
}

export interface Trip extends TripEntry {
  id: string;
  vehicle_label: string;
  source: "typed" | "csv" | "journey";
  journey_id: string | null;
  claim_id: string | null;
  claim_state: ClaimState | null;
  is_locked: boolean;
}

export type Trips = Paged<Trip> & { miles: string };

export interface ImportError {
  line: number;
  column: string;
  value: string;
  rule: string;
}

export interface ImportedTrip {
  line: number;
  on_date: string;
  vehicle_label: string;
  origin: string;
  destination: string;
  reason: string;
  miles: string;
}

export interface TripImport {
  is_stored: boolean;
  row_count: number;
  miles: string;
  errors: ImportError[];
  items: ImportedTrip[];
}

export interface BusinessJourney {
  journey_id: string;
  vehicle_id: string;
  vehicle_label: string;
  on_date: string;
  miles: string;
  note: string;
  is_business: boolean;
  is_past: boolean;
  is_taken: boolean;
}

export interface MilesElsewhere {
  tax_year_from_on: string;
  tax_year?: string;
  miles: string;
}

export interface ClaimPart {
  miles: string;
  rate_pence: string;
  pence_exact: string;
}

export interface ClaimLine {
  kind: LineKind;
  trip_id: string | null;
  vehicle_id: string | null;
  vehicle_label: string;
  on_date: string | null;
  reason: string;
  origin?: string | null;
  destination?: string | null;
  miles: string;
  parts: ClaimPart[];
  pence_exact: string;
  tax_year_from_on: string | null;
  pence: number;
  text: string;
  working: WorkingStep[];
}

export interface UsedFigure {
  name: string;
  key: string;
  from_on: string;
  value: string;
  unit: string;
  standing: string;
  source: string;
}

export interface Blocker {
  trip_id: string | null;
  on_date: string | null;
  what: string;
  rule: string;
}

export interface Reckoning {
  month: string;
  is_ready: boolean;
  blockers: Blocker[];
  miles: string;
  total_pence: number;
  lines: ClaimLine[];
  figures: UsedFigure[];
  vat_note: string;
  tax_note: string;
  rounding_rule: string;
  caution: string;
  working: WorkingStep[];
}

export interface HomeShare {
  vehicle_id: string;
  home_percent: string;
}

export interface ClaimRow {
  id: string;
  household_id: string;
  reference: string;
  member_name: string;
  month: string;
  ordinal: number;
  state: ClaimState;
  corrects_id: string | null;
  is_corrected: boolean;
  miles: string;
  total_pence: number;
  trip_count: number;
  created_at: string;
  sent_at: string | null;
  decided_at: string | null;
  statement_id: string | null;
  version: number;
  is_ready: boolean | null;
}

export interface ClaimMessage {
  kind: "query" | "answer" | "refusal" | "reason";
  text: string;
  written_at: string;
  is_by_member: boolean;
  author: string;
}

export interface Claim extends ClaimRow {
  reckoning: Reckoning;
  messages: ClaimMessage[];
  note: string | null;
  caution: string;
  may_decide?: boolean;
}

export type OwnClaims = Paged<ClaimRow> & { total_pence: number; miles: string };

export interface StateCount {
  state: ClaimState;
  claim_count: number;
  total_pence: number;
}

export type SchemeClaims = OwnClaims & { counts: StateCount[] };

export interface Approvals {
  approved: string[];
  failed: { claim_id: string; reason: string }[];
  total_pence: number;
}

export interface StatementRow {
  id: string;
  month: string;
  ordinal: number;
  claim_count: number;
  total_pence: number;
  digest: string;
  made_at: string;
  made_by: string | null;
}

export interface StatedClaim {
  claim_id: string;
  month: string;
  ordinal: number;
  corrects_id: string | null;
  miles: string;
  total_pence: number;
  lines: ClaimLine[];
}

export interface StatedPerson {
  account_id: string;
  name: string;
  reference: string;
  claims: StatedClaim[];
  miles: string;
  total_pence: number;
}

export interface Statement extends StatementRow {
  document: {
    month: string;
    ordinal: number;
    people: StatedPerson[];
    totals: { claim_count: number; line_count: number; miles: string; total_pence: number };
    caution: string;
    vat_note: string;
    rounding_rule: string;
  };
}

export interface RuleEntry {
  from_on: string;
  company_method: CompanyMethod;
  monthly_cap_pence: number | null;
  claim_within_days: number | null;
}

export interface ReimbursementRule extends RuleEntry {
  id: string;
  recorded_at: string;
  recorded_by: string | null;
}
