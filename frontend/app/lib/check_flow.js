/** The member's check, question by question: what comes next, whether an answer stops use, what is sent. */

/** @typedef {import("../api/check_types.d.ts").Question} Question */
/** @typedef {import("../api/check_types.d.ts").PossibleAnswer} PossibleAnswer */
/** @typedef {import("../api/types.d.ts").Household} Household */
/** @typedef {Record<string, string>} Given question -> answer */

/**
 * The answer that was given to a question, if any.
 * @param {Question} question
 * @param {Given} given
 * @returns {PossibleAnswer | undefined}
 */
function givenTo(question, given) {
  return question.answers.find(({ answer }) => answer === given[question.question]);
}

/**
 * The answers so far that stop use, with their questions.
 * @param {Question[]} questions
 * @param {Given} given
 * @returns {{ question: Question, answer: PossibleAnswer }[]}
 */
export function stopsIn(questions, given) {
  return questions.flatMap((question) => {
    const answer = givenTo(question, given);
    return answer?.sign ? [{ question, answer }] : [];
  });
}

/**
 * The question to ask now; null once all are answered, or an answer stops use: then nobody is asked to touch anything.
 * @param {Question[]} questions
 * @param {Given} given
 * @returns {Question | null}
 */
export function nextQuestion(questions, given) {
  if (stopsIn(questions, given).length > 0) return null;
  return questions.find((question) => !givenTo(question, given)) ?? null;
}

/**
 * The questions answered with "I do not know": they leave the check open.
 * @param {Question[]} questions
 * @param {Given} given
 * @returns {Question[]}
 */
export function openIn(questions, given) {
  return questions.filter((question) => given[question.question] === "not_known");
}

/**
 * The answers without that to one question and all after it, to answer from there again.
 * @param {Question[]} questions
 * @param {Given} given
 * @param {string} from the question's name
 * @returns {Given}
 */
export function answersBefore(questions, given, from) {
  const end = questions.findIndex(({ question }) => question === from);
  const kept = questions.slice(0, Math.max(0, end)).map(({ question }) => question);
  return Object.fromEntries(Object.entries(given).filter(([question]) => kept.includes(question)));
}

/**
 * The answers as the service takes them, in the order asked.
 * @param {Question[]} questions
 * @param {Given} given
 * @returns {{ question: string, answer: string }[]}
 */
export function answersToSend(questions, given) {
  return questions.filter((question) => givenTo(question, given)).map(({ question }) => ({ question, answer: given[question] }));
}

/**
 * The leads that may be used at an outlet; none where the cable is part of it.
 * @param {Household} home
 * @param {string} outletId
 */
export function leadsFor(home, outletId) {
  const outlet = home.outlets.find(({ id }) => id === outletId);
  if (!outlet || (outlet.kind === "charging_point" && outlet.is_tethered)) return [];
  const kind = outlet.kind === "charging_point" ? "mode_3_cable" : "mode_2";
  return home.leads.filter((lead) => lead.kind === kind);
}

/**
 * What to look at first: what the address names, else what a car is charged with, else the only one there is.
 * @param {Household} home
 * @param {URLSearchParams} asked
 * @returns {{ outletId: string, leadId: string }} "" where somebody has to choose
 */
export function startPair(home, asked) {
  const named = home.outlets.find(({ id }) => id === asked.get("outlet"));
  const namedLead = home.leads.find(({ id }) => id === asked.get("lead"));
  const car = home.vehicles.find((vehicle) => vehicle.outlet_id && (!namedLead || vehicle.lead_id === namedLead.id));
  const usual = namedLead && car ? home.outlets.find(({ id }) => id === car.outlet_id) : undefined;
  const outletId = (named ?? usual ?? (home.outlets.length === 1 ? home.outlets[0] : undefined))?.id ?? "";
  return { outletId, leadId: startLead(home, outletId, namedLead?.id ?? "") };
}

/**
 * The lead to look at with an outlet: the one named, the one a car uses there, or the only one.
 * @param {Household} home
 * @param {string} outletId
 * @param {string} [named]
 * @returns {string} "" where somebody has to choose, or none belongs there
 */
export function startLead(home, outletId, named = "") {
  const leads = leadsFor(home, outletId);
  if (leads.some(({ id }) => id === named)) return named;
  const used = home.vehicles.find((vehicle) => vehicle.outlet_id === outletId && leads.some(({ id }) => id === vehicle.lead_id));
  return used?.lead_id ?? (leads.length === 1 ? leads[0].id : "");
}
