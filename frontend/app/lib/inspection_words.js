/** The words around inspections, visits and links, in one place; the screens add no others. */

/** @type {Record<string, string>} */
export const CERTIFICATE_WORDS = {
  eicr: "Condition report (EICR)",
  eic: "Installation certificate (EIC)",
  minor_works: "Minor works certificate",
  other: "Another document",
  not_known: "Not known",
};

/** @type {Record<string, string>} */
export const RCD_TYPE_WORDS = { none: "None", ac: "AC", a: "A", f: "F", b: "B", not_known: "Not known" };

/** @type {Record<string, string>} */
export const DEVICE_WORDS = {
  mcb_b: "Circuit-breaker or RCBO, type B",
  mcb_c: "Circuit-breaker or RCBO, type C",
  mcb_d: "Circuit-breaker or RCBO, type D",
  fuse_rewireable: "Rewireable fuse",
  fuse_cartridge: "Cartridge fuse",
  plug_fuse: "Fuse of a fused connection unit",
  not_known: "Not known",
};

/** @type {Record<string, string>} */
export const LOST_PEN_WORDS = {
  not_recorded: "Not recorded",
  none: "Nothing",
  i: "(i) Balanced three-phase load",
  ii: "(ii) Additional earth electrode",
  iii: "(iii) Device that senses the voltage to earth",
  iv: "(iv) Device that senses the supply voltage",
  v: "(v) Another device, no less safe",
  tt_or_isolated: "TT electrode or isolating transformer",
};

/** @type {Record<string, string>} */
export const REACH_WORDS = {
  outlet: "This outlet only",
  circuit: "Its circuit",
  home: "The whole home (board, earthing, supply)",
};

/** @type {Record<string, string>} */
export const VISIT_STATE_WORDS = {
  asked: "Asked for",
  date_agreed: "Date agreed",
  no_access: "No access",
  done: "Visited, result awaited",
  recorded: "Recorded, to be accepted",
  accepted: "Accepted",
  cancelled: "Cancelled",
};

/** @type {Record<string, string>} */
export const GROUND_WORDS = {
  listed: "the electrician is on the scheme's list",
  officer: "a safety officer compared the document",
};

/** @type {Record<string, string>} */
export const SOURCE_WORDS = {
  link: "by the electrician, through a link",
  officer: "by a safety officer",
  typed: "typed by an administrator: a claim",
  import: "imported: a claim",
};

export const NOT_VERIFIED = "Competence is recorded as the electrician stated it. Nobody here verified it.";

export const NEVER_CERTIFIES = "What is recorded here is what you say you found. Plugward never certifies an installation; your certificate does.";
