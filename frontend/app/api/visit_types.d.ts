/** The shapes around visits: links of electricians, what they see and send, and what administrators do with them. */
import type { Circuit, Lead, Nation, Observation, Outlet, Supply, WorkingStep } from "./types.d.ts";

export type VisitState = "asked" | "date_agreed" | "no_access" | "done" | "recorded" | "accepted" | "cancelled";

export interface LinkedVisit {
  visit_id: string;
  reference: string;
  opens_on: string;
  is_open: boolean;
  is_spent: boolean;
  address: string | null;
  postcode: string | null;
  outlets: { id: string; label: string }[];
}

export interface LinkView {
  electrician: string;
  scheme_name: string;
  expires_at: string;
  visits: LinkedVisit[];
}

/** One home as its electrician sees it, from its day on; nobody's name. */
export interface VisitView {
  visit_id: string;
  kind: "visit" | "correction";
  agreed_on: string | null;
  reason: string;
  home: { reference: string; address: string; postcode: string; nation: Nation; zone: string };
  supply: Supply | null;
  circuits: Circuit[];
  /** The outlets to record: a whole submission names each of them. */
  outlet_ids: string[];
  outlets: Outlet[];
  leads: Lead[];
  questions: string[];
  recorded: RecordedInspection[];
  files: StoredFile[];
  draft: Record<string, unknown>;
  draft_version: number;
}

export interface StoredFile {
  id: string;
  purpose: string;
  media_type: string;
  size_bytes: number;
  sha256: string;
  name: string;
  uploaded_at: string;
}

export interface OutletResult {
  outlet_id: string;
  certificate_kind: string;
  certificate_number: string;
  inspected_on: string;
  next_due_on: string;
  file_id: string | null;
  was_tested: string;
  limitation: string;
  knew_use: string;
  answers: Record<string, unknown>;
  limit_a: number | null;
  limit_reason: string;
  observations: (Omit<Observation, "code"> & { code: string; reach: string })[];
}

export interface VisitResult {
  outlets: OutletResult[];
  is_partial: boolean;
  electrician_name: string;
  registration: string;
}

/** A visit as its home sees it. */
export interface HomeVisit {
  id: string;
  household_id: string;
  outlet_ids: string[];
  outlets: string[];
  state: VisitState;
  reason: string;
  electrician_name: string;
  agreed_on: string | null;
  agreed_from: string | null;
  agreed_until: string | null;
  asked_at: string;
}

export interface VisitRow extends HomeVisit {
  reference: string;
  area: string;
  electrician_id: string | null;
  cost_pence: number | null;
  risk: number;
  risk_working: WorkingStep[];
}

export interface Visit extends VisitRow {
  steps: { state: VisitState; happened_at: string; by: string; note: string }[];
}

export interface Electrician {
  id: string;
  etag: string;
  name: string;
  firm: string;
  email: string;
  telephone: string;
  registration: string;
  listed_at: string;
  unlisted_at: string | null;
}

export interface InspectionLinkMade {
  id: string;
  /** Told once; null where the request was repeated, or where it goes by mail alone. */
  url: string | null;
  /** Why it goes by mail alone; empty where it was told. */
  url_withheld_because: string;
  sent_to: string;
  expires_at: string;
  is_household_address: boolean;
}

export interface InspectionLinkRow {
  id: string;
  kind: "visit" | "correction";
  state: "open" | "spent" | "expired" | "revoked";
  sent_to: string;
  electrician_id: string | null;
  electrician_name: string;
  made_at: string;
  expires_at: string;
  revoked_at: string | null;
  is_household_address: boolean;
  visits: { visit_id: string; household_id: string; reference: string; opens_on: string; spent_at: string | null }[];
}

/** A result in the list of what is to be decided, or was. */
export interface DecidedInspection {
  id: string;
  household_id: string;
  reference: string;
  outlet_id: string;
  outlet_label: string;
  source: string;
  state: "waiting" | "accepted" | "refused";
  electrician: string;
  registration: string;
  certificate_kind: string;
  certificate_number: string;
  inspected_on: string;
  next_due_on: string;
  file_id: string | null;
  ground: string | null;
  is_household_address: boolean;
  asked_by: string;
  received_by: string;
  recorded_at: string;
  recorded_by: string;
  accepted_at: string | null;
  accepted_by: string;
  refused_at: string | null;
  refused_by: string;
  refusal_reason: string | null;
  supersedes_id: string | null;
  superseded_at: string | null;
}

/** A reading outside its limit, or a finding that fails, with the limit and where it stands. */
export interface InspectionFailure {
  field: string;
  words: string;
  limit: string;
  source: string;
}

/** A recorded inspection with everything that it says. */
export interface RecordedInspection {
  id: string;
  outlet_id: string;
  inspected_on: string;
  next_due_on: string;
  certificate_number: string;
  certificate_kind: string;
  electrician: string;
  registration: string;
  is_satisfactory: boolean;
  observations: (Observation & { reach: string })[];
  recorded_at: string;
  source: string;
  file_id: string | null;
  was_tested: string;
  limitation: string;
  knew_use: string;
  answers: Record<string, unknown>;
  failures?: InspectionFailure[];
  missing?: string[];
  limit_a: number | null;
  limit_reason: string;
  is_partial: boolean;
  supersedes_id: string | null;
  superseded_at: string | null;
  accepted_at: string | null;
  acceptance_ground: string | null;
  refused_at: string | null;
  refusal_reason: string | null;
}

/** What a submission answers: recorded, and accepted at once or waiting, and why. */
export interface Submitted {
  inspections: RecordedInspection[];
  is_accepted: boolean;
  is_partial: boolean;
  waits_because: string;
}
