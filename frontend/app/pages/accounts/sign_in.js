/** Signing in, and what to do when it does not work. */
import { html } from "htm/preact";
import { Page } from "../../components/page.js";
import { SpecForm } from "../../components/spec_form.js";
import { waitWords } from "../../lib/problem.js";
import { enter } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "email", label: "E-mail address", kind: "email", isRequired: true, autocomplete: "username" },
  { name: "password", label: "Password", kind: "password", isRequired: true, autocomplete: "current-password" },
];

/**
 * What to say when signing in failed, in place of the general words.
 * @param {import("../../lib/problem.js").Problem | null} problem
 * @returns {string} "" for problems that the general words cover
 */
export function signInAdvice(problem) {
  if (problem?.status === 401) {
    return "The e-mail address and password do not belong together. Check both for typing slips; capitals count in the password.";
  }
  if (problem?.status === 429) {
    return `There were too many tries for this account or from this place. Wait ${waitWords(problem.retryAfterS)}, then try again.`;
  }
  return "";
}

/** The page that everyone who is not signed in sees. */
export function SignInPage() {
  const submission = useSubmission();
  const advice = signInAdvice(submission.problem);
  const submit = (/** @type {import("../../lib/form_values.js").FormValues} */ values) =>
    submission.run(() => enter(String(values.email).trim(), String(values.password)));
  return html`
    <${Page} title="Sign in" class="page-narrow" lead="Use the address at which your employer's scheme writes to you.">
      ${advice && html`<div class="note note-stop" role="alert"><p class="note-title">You are not signed in</p><p>${advice}</p></div>`}
      <${SpecForm} fields=${FIELDS} start=${START} action="Sign in" isGuarded=${false}
        submission=${advice ? { ...submission, problem: null } : submission} onSubmit=${submit} />
      <p class="small">No way in? Your scheme's administrator can check the address that is recorded for you.</p>
    </${Page}>
  `;
}

const START = { email: "", password: "" };
