/**
 * The shapes the service sends and takes (API v1).
 * Money is a decimal string of pence; energy is a number of kWh; instants are RFC 3339; days are YYYY-MM-DD.
 */

export type Role = "administrator" | "member" | "safety_officer" | "finance";
export type Nation = "england" | "wales" | "scotland" | "northern_ireland";
export type ClearanceWord = "fit_to_use" | "use_with_limits" | "do_not_use" | "not_known";
export type TariffKind = "banded" | "half_hourly";
export type TariffClock = "local" | "gmt";
export type DayKind = "weekday" | "weekend" | "bank_holiday";
export type ShortfallCause = "battery_too_small" | "too_few_hours_at_home" | "no_usable_outlet" | "evidence_ends" | "outlet_shared" | "supply_shared";
export type RunReason = "tariff_change" | "prices_arrived" | "new_day" | "household_change";

export interface ProblemBody {
  type?: string;
  title?: string;
  status: number;
  detail?: string;
  instance?: string;
  errors?: { pointer: string; detail: string }[];
}

/** What a successful call gives back: the body, its ETag where there is one, and the status. */
export interface Answer<T> {
  data: T;
  etag: string | null;
  status: number;
}

export interface Session {
  account: { name: string; email: string };
  scheme: { id: string; name: string };
  roles: Role[];
  household_id: string | null;
  demo_mail: boolean;
}

export interface WorkingStep {
  what: string;
  inputs: Record<string, string>;
  rule: string;
  source: string;
  result: string;
}

export interface HouseholdRow {
  id: string;
  reference: string;
  member_name: string;
  nation: Nation;
  region: string | null;
  tariff_id: string | null;
  tariff_name: string | null;
  vehicle_count: number;
  clearance: ClearanceWord;
  clearance_until: string | null;
  next_recheck_on: string | null;
  recheck_overdue: boolean;
  week_energy_kwh: number | null;
  week_cost_pence: string | null;
  week_on_arrival_cost_pence: string | null;
  week_short_kwh: number | null;
  planned_at: string | null;
}

export interface Paged<T> {
  items: T[];
  total: number;
  page?: number;
  page_size?: number;
}

export interface Supply {
  fuse_a: number | null;
  phases: number;
  earthing: "tn_s" | "tn_c_s" | "tt" | "not_known";
  looped: "yes" | "no" | "not_known";
  other_loads: string;
  loads: { kind: string; power_w: number | null }[];
}

export interface CircuitRun {
  position: number;
  kind: "sub_main" | "board" | "ring" | "radial" | "spur" | "fused_spur";
  device: string;
  cable: string;
  method: string;
  length_m: number | null;
  device_kind: string;
  device_a: number | null;
  rcd_type: string;
  rcd_ma: number | null;
  cable_kind: string;
  cable_mm2: number | null;
  installed: string;
  ambient_c: number | null;
  grouped_circuits: number | null;
  insulation_mm: number | null;
}

export interface Circuit {
  id: string;
  label: string;
  runs: CircuitRun[];
}

export interface Outlet {
  id: string;
  label: string;
  kind: "socket_13a" | "charging_point";
  is_tethered: boolean | null;
  place: "indoors" | "outdoors" | "not_known";
  limit_a: number;
  phases: number;
  circuit_id: string | null;
  maker_model: string;
  serial_or_batch: string;
  supplied_by: string;
  since_on: string | null;
  car_place: "indoors" | "outdoors" | "not_known";
  ip_code: string;
  ev_mark: "yes" | "no" | "not_known";
  in_sun: "yes" | "no" | "not_known";
  nights_a_week: number | null;
  control: "not_known" | "timer" | "schedule";
  start_delay_s: number | null;
}

export interface Lead {
  id: string;
  label: string;
  kind: "mode_2" | "mode_3_cable";
  rated_a: number;
  set_a: number;
  maker_model: string;
  serial_or_batch: string;
  supplied_by: string;
  since_on: string | null;
  settings_a: number[];
  has_plug_sensor: "yes" | "no" | "not_known";
  length_m: number | null;
  setting_shown_a: number | null;
  setting_shown_at: string | null;
}

export interface Vehicle {
  id: string;
  label: string;
  ordinal: number;
  battery_kwh: number;
  miles_per_kwh: number;
  onboard_limit_a: number;
  onboard_phases: number;
  ceiling_percent: number;
  reserve_percent: number;
  outlet_id: string | null;
  lead_id: string | null;
  other_outlet_ids: string[];
  taper_from_percent: number | null;
  standby_w: number;
  port: "not_known" | "nose" | "tail" | "front_left" | "front_right" | "rear_left" | "rear_right";
}

export interface MeterWindow {
  band: string;
  starts_at: string;
  ends_at: string;
}

export interface Contract {
  id: string;
  tariff_id: string;
  tariff_name: string;
  starts_on: string;
  ends_on: string | null;
  clock: TariffClock | null;
  windows: MeterWindow[];
  exit_fee_pence: number | null;
  fixed_until_on: string | null;
}

export interface Observation {
  code: "C1" | "C2" | "C3" | "FI";
  note: string;
  closed_on: string | null;
}

export interface InspectionEntry {
  outlet_id: string;
  inspected_on: string;
  next_due_on: string;
  certificate_number: string;
  electrician: string;
  observations: Observation[];
}

export interface Inspection extends InspectionEntry {
  id: string;
  is_satisfactory: boolean;
}

export interface Recheck {
  id: string;
  item_kind: string;
  item_id: string;
  item_label: string;
  due_on: string;
  rule: string;
  done_on: string | null;
  task: "inspection" | "check" | "button" | "remedy" | "other";
  rule_name: string;
  source: string;
  interval_days: number | null;
  is_claimed: boolean;
}

export interface OutletClearance {
  outlet_id: string;
  outlet_label: string;
  clearance: ClearanceWord;
  limit_a: number | null;
  valid_until: string | null;
  evidence: string;
  missing: string[];
  next_step: string;
  needs?: string[];
  working: WorkingStep[];
}

export interface LeadClearance {
  lead_id: string;
  lead_label: string;
  clearance: ClearanceWord;
  limit_a: number | null;
  evidence: string;
  missing: string[];
  next_step: string;
  valid_until?: string | null;
  needs?: string[];
  working: WorkingStep[];
}

export interface WeekTotals {
  week_energy_kwh: number;
  week_cost_pence: string | null;
  week_on_arrival_cost_pence: string | null;
  week_short_kwh: number;
  planned_at: string;
}

export interface Household {
  id: string;
  reference: string;
  member_name: string;
  address: string;
  postcode: string;
  zone: string;
  nation: Nation;
  region: string | null;
  payment: string | null;
  tenure: "owner" | "private_rented" | "social_rented" | "not_known";
  supply: Supply | null;
  circuits: Circuit[];
  outlets: Outlet[];
  leads: Lead[];
  vehicles: Vehicle[];
  contracts: Contract[];
  inspections: Inspection[];
  rechecks: Recheck[];
  clearances: OutletClearance[];
  lead_clearances: LeadClearance[];
}

export interface StateOfCharge {
  percent: number | null;
  read_at: string | null;
}

export interface RoutineDeparture {
  weekday: number;
  leaves_at: string;
  returns_at: string;
  returns_days_later: number;
  miles: string;
}

export interface Routine {
  departures: RoutineDeparture[];
}

export interface JourneyEntry {
  leaves_at: string;
  returns_at: string;
  miles: string;
  is_important: boolean;
  replaces_routine: boolean;
  is_business?: boolean;
  note: string;
}

export interface Journey extends JourneyEntry {
  id: string;
}

export interface VersionSummary {
  id: string;
  valid_from_on: string;
  published_at: string | null;
  label: string;
}

export interface Tariff {
  id: string;
  name: string;
  kind: TariffKind;
  clock: TariffClock;
  current_version_id: string | null;
  versions: VersionSummary[];
  series: { first_at: string; last_at: string; count: number } | null;
}

export interface BandWindow {
  starts_at: string;
  ends_at: string;
  day_kinds: DayKind[];
  months: number[];
}

export interface Band {
  name: string;
  price_pence_per_kwh: string;
  is_otherwise: boolean;
  windows: BandWindow[];
}

export interface Sheet {
  region: string | null;
  payment: string | null;
  standing_pence_per_day: string;
  bands: Band[];
}

export interface TariffUse {
  tariff_id: string;
  household_count: number;
}

export interface VersionEntry {
  valid_from_on: string;
  label: string;
  vat_percent: string;
  vat_included: boolean;
  sheets: Sheet[];
}

export interface Version extends VersionEntry {
  id: string;
  tariff_id: string;
  published_at: string | null;
}

export interface VersionPreview {
  household_count: number;
  price_changes_count: number | null;
  blocks_move_count: number | null;
  checked_count: number;
  week_cost_before_pence: string | null;
  week_cost_after_pence: string | null;
  new_shortfall_count: number | null;
  unpriced_count: number | null;
}

export interface Publication {
  version_id: string;
  published_at: string;
}

export interface PricesStored {
  stored_count: number;
  changed_count: number;
  missing: { region: string | null; starts_at: string; ends_at: string }[];
}

export interface Run {
  id: string;
  reason: RunReason;
  label: string;
  created_at: string;
  finished_at: string | null;
  household_count: number;
  done_count: number;
  changed_count: number;
  moved_count: number;
  chunk_count: number;
  chunks_done: number;
}

export interface PlanBlockWhy {
  binding: "need" | "battery" | "price" | "hours";
  serves_leaves_at: string | null;
  lowest_price_pence: string | null;
  highest_price_pence: string | null;
  next_best_pence: string | null;
}

export interface PlanBlock {
  starts_at: string;
  ends_at: string;
  outlet_id: string | null;
  outlet_label: string | null;
  energy_kwh: number;
  cost_pence: string | null;
  /** null in a brief answer */
  why: PlanBlockWhy | null;
}

export interface PlanTurn {
  starts_at: string;
  ends_at: string;
  outlet_id: string;
  outlet_label: string;
  vehicle_id: string;
  label: string;
  reason: string | null;
}

export interface PlanOtherWay {
  way: "on_arrival" | "cheapest_five_hours" | "no_charging";
  energy_kwh: number;
  cost_pence: string | null;
  short_kwh: number;
}

export interface PlanStay {
  arrives_at: string;
  leaves_at: string | null;
  before_percent: number;
  reached_percent: number;
  energy_kwh: number;
  cost_pence: string | null;
  blocks: PlanBlock[];
}

export interface PlanShortfall {
  leaves_at: string;
  short_kwh: number;
  short_miles: number;
  is_reserve_only: boolean;
  cause: ShortfallCause;
  next_step: string;
}

export interface PlanVehicle {
  vehicle_id: string;
  label: string;
  outlet_id: string | null;
  outlet_label: string | null;
  limit_a: number | null;
  how_set: string;
  charge_percent: number;
  charge_doubt_percent: number | null;
  charge_basis: "read" | "estimated" | "not_known";
  energy_kwh: number;
  cost_pence: string | null;
  on_arrival_cost_pence: string | null;
  unpriced_kwh: number;
  other_ways: PlanOtherWay[];
  stays: PlanStay[];
  shortfalls: PlanShortfall[];
}

export interface Plan {
  id: string;
  household_id: string;
  zone: string;
  computed_at: string;
  starts_at: string;
  ends_at: string;
  is_current: boolean;
  is_stopped: boolean;
  stopped_at: string | null;
  tariff_name: string | null;
  turns: PlanTurn[];
  sharing_gap_pence: string | null;
  vehicles: PlanVehicle[];
  energy_kwh: number;
  cost_pence: string | null;
  on_arrival_cost_pence: string | null;
  missing_prices: string[];
  cautions: string[];
}

export interface PlanWeek {
  zone: string;
  starts_at: string;
  is_stopped: boolean;
  count: number;
  days: { on: string; first: number; count: number }[];
  price_pence_per_kwh: string[];
  is_price_known: boolean[];
  vehicles: { vehicle_id: string; label: string; energy_kwh: number[] }[];
}

export interface MailRecord {
  id: string;
  kind: string;
  household_id: string | null;
  household_reference: string | null;
  status: string;
  queued_at: string;
  sent_at: string | null;
  attempts: number;
  reason: string | null;
  bounced_at: string | null;
  resend_of_id: string | null;
  person: string | null;
  can_resend: boolean;
}

/** One thing that concerns safety, as the reader was told of it. */
export interface SafetyNotice {
  id: string;
  household_id: string;
  kind: "stop" | "inspection_stop" | "override" | "overdue";
  subject: string;
  text: string;
  told_at: string;
  read_at: string | null;
  raised_at: string | null;
}

/** Whom to ring: who, of which home, what they were told. */
export interface RaisedNotice extends SafetyNotice {
  reference: string;
  person: string;
  telephone: string;
  raised_at: string;
  raised_why: string;
  rung_at: string | null;
  rung_by: string | null;
  rung_note: string;
}

export interface Feed {
  id: string;
  kind: "rechecks" | "plan";
  made_at: string;
  revoked_at: string | null;
}

export interface NewFeed extends Feed {
  url: string;
}

export interface MailSettings {
  tips_muted: boolean;
  tips_muted_at: string | null;
  telephone: string;
}

export interface DeskRow {
  id: string;
  reference: string;
  area: string;
  clearance: ClearanceWord;
  since_on: string | null;
  next_recheck_on: string | null;
  days_left: number | null;
  overdue_count: number;
  unread_count: number;
  last_inspection_on: string | null;
  last_check_at: string | null;
  missing: string[];
  not_clear: { id: string; label: string }[];
  told: { name: string; subject: string; told_at: string; read_at: string | null } | null;
  visit: { state: string; agreed_on: string | null } | null;
}

export interface Desk extends Paged<DeskRow> {
  counts: { clearance: ClearanceWord; household_count: number }[];
  areas: string[];
}

/** Homes by their ids, or all that filters let through with the number that the person saw. */
export interface ChosenHomes {
  household_ids: string[] | null;
  all_matching: { clearance: string | null; overdue: boolean | null; missing: string | null; told: string | null; area: string | null } | null;
  household_count: number;
}

/** What became of a person of a chosen home; name null: the home has nobody to write to. */
export interface AskedPerson {
  household_id: string;
  reference: string;
  name: string | null;
  why_not: "nobody" | "stopped" | "nothing_due" | "mailed_today" | null;
  goes_out_at: string | null;
}

export interface FileTable {
  title: string;
  heads: string[];
  rows: string[][];
  total: number;
  empty: string;
}

export interface FilePart {
  name: string;
  title: string;
  notes: string[];
  facts: [string, string][];
  tables: FileTable[];
}

export interface SafetyFile {
  household_id: string;
  reference: string;
  title: string;
  at: string;
  as_at: string;
  zone: string;
  is_not: string;
  parts: FilePart[];
  limits: string[];
}
