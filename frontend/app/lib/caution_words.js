/** The cautions of this tool in its own words, by name, and what it is not. Pages show those that matter there. */

export const CAUTIONS = {
  advice: "What you read here is worked out from facts that people entered. Only a competent electrician on site can pass an installation.",
  stop: "Any smell, scorch mark, noise or heat: stop, switch off, and do not reset and carry on.",
  socket_current: "An ordinary 13 A socket is not meant for hours at 13 A: at most 10 A, and less if you are unsure.",
  fuse: "A fuse or breaker that holds does not prove that the joints are cool.",
  extension: "No multi-way block, no chain, no coiled cable. An extension lead only where the electrician has allowed that very one.",
  route: "Keep the lead out of puddles, do not shut it in a window, and do not lay it across a footway without consent.",
  not_known: "What is missing is not known, never a pass. Evidence that has run out is no evidence.",
  lost_neutral: "Where the car stands outdoors, the electrician has to say what protects you if the supply's combined neutral and earth is lost.",
  consent: "Your landlord, lease or insurer may have to agree. Your employer cannot see your home: the answers are yours.",
  do_not_open: "Do not open a socket or the fuse board to answer a question.",
  notifiable: "A new circuit is notifiable work: keep its certificate and the building compliance certificate.",
  network: "The network operator has to be told of some charging equipment, before or after: your installer knows which.",
  tables: "Cable figures hold for the cable and method named; buried, armoured or grouped runs differ.",
  voltage: "Results use 230 V as the book does; the real voltage lies between 216 and 253 V.",
  home: "Keep the lead away from children and from where people walk, keep a working smoke alarm near where people sleep, and never block a way out.",
};

/** @typedef {keyof typeof CAUTIONS} CautionName */

export const WHAT_IT_IS_NOT = [
  "It is not an inspection and certifies nothing: it keeps what people and electricians recorded, and says what follows.",
  "It does not see your home, feel your plug or measure anything.",
  "It cannot switch a charge off. Stopping your plan does not stop a timer that is set in the car.",
  "It is not an alarm: nobody watches while you sleep.",
];
