/** The list of what can be reported, in the groups a member looks under, each with what it stops. */

/** @typedef {import("../api/check_types.d.ts").Sign} Sign */

const TITLES = {
  seen: "You see, smell, hear or feel something wrong",
  lead: "Something happened to the lead",
  outlet: "Something happened to the socket or charging point",
  home: "Something changed in the wiring or the home",
};

/** @param {Sign} sign @returns {keyof typeof TITLES} */
function groupOf(sign) {
  if (sign.group === "check") return "seen";
  if (sign.outlets === "none") return "lead";
  return sign.outlets === "outlet" || sign.sign === "wet_or_flooded" ? "outlet" : "home";
}

/**
 * @param {Sign[]} signs
 * @returns {{ name: string, title: string, signs: Sign[] }[]} groups without a sign are left out
 */
export function incidentGroups(signs) {
  return Object.entries(TITLES)
    .map(([name, title]) => ({ name, title, signs: signs.filter((sign) => groupOf(sign) === name) }))
    .filter((group) => group.signs.length > 0);
}

/** @type {Record<Sign["outlets"], string>} */
const REACH = { none: "", outlet: "that outlet", circuit: "every outlet on its circuit", home: "every outlet of your home" };

/**
 * What a sign stops: "Stops that outlet and the lead".
 * @param {Sign} sign
 * @returns {string}
 */
export function stopWords(sign) {
  const what = [REACH[sign.outlets], sign.acts_on_lead ? "the lead" : ""].filter(Boolean).join(" and ");
  return sign.effect === "do_not_use" ? `Stops ${what}` : `No charging at ${what} until it was looked at`.replace("at the lead until", "with the lead until");
}

/**
 * Has somebody to say which outlet or lead it was? Where there is one of a kind it is that one.
 * @param {Sign} sign
 * @param {{ outlets: { id: string }[], leads: { id: string }[] }} home
 */
export function whatToAsk(sign, home) {
  return {
    outlet: sign.outlets !== "none" && home.outlets.length > 1,
    lead: sign.acts_on_lead && home.leads.length > 1,
  };
}

/**
 * The entry to send; "" for an item that nobody named, which then is every one of its kind.
 * @param {Sign} sign
 * @param {{ outlets: { id: string }[], leads: { id: string }[] }} home
 * @param {{ outletId: string, leadId: string }} chosen
 * @returns {import("../api/check_types.d.ts").IncidentEntry}
 */
export function incidentEntry(sign, home, chosen) {
  const only = (/** @type {{ id: string }[]} */ items, /** @type {string} */ id) => (items.length === 1 ? items[0].id : id || null);
  return {
    sign: sign.sign, note: "",
    outlet_id: sign.outlets === "none" ? null : only(home.outlets, chosen.outletId),
    lead_id: sign.acts_on_lead ? only(home.leads, chosen.leadId) : null,
  };
}
