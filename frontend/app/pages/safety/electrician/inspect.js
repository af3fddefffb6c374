/**
 * An electrician at a doorstep: opened by a link without an account, works without a signal once open, says plainly
 * what was recorded, and is dead when everything has been submitted.
 */
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { getInspectionLink } from "../../../api/inspection_link.js";
import { Empty } from "../../../components/empty.js";
import { Page } from "../../../components/page.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { Skeleton } from "../../../components/skeleton.js";
import { linkName, linkToken, takeLinkToken } from "../../../state/inspection_link.js";
import { url } from "../../../state/router.js";
import { forgetSeen, useSeen } from "../../../state/seen.js";
import { placeOf } from "./address.js";
import { DeadLink } from "./dead_link.js";
import { HomeList } from "./home_list.js";
import { OneVisit } from "./one_visit.js";

/** @typedef {import("../../../api/visit_types.d.ts").LinkView} LinkView */

function NoLink() {
  return html`<${Page} title="Record an inspection" class="page-inspect">
    <${Empty} title="This page needs the link from your e-mail">
      <p>Open it from the message that the scheme sent you. If you have no message, ask the scheme that asked you to come.</p>
    </${Empty}></${Page}>`;
}

function Opening() {
  return html`<${Page} title="Record an inspection" class="page-inspect"><${Skeleton} lines=${2} size="card" /></${Page}>`;
}

/** @param {{ token: string, name: string }} props name: of what is kept under this link */
function Work({ token, name }) {
  const link = useSeen(`seen/link/${name}`, () => getInspectionLink(token));
  const place = placeOf(url.value);
  // Further steps of one home are no new page to the router: the heading takes the focus here.
  const [isFirst, setFirst] = useState(true);
  useEffect(() => {
    if (!isFirst) /** @type {HTMLElement | null} */ (document.querySelector("main h1"))?.focus({ preventScroll: true });
    setFirst(false);
  }, [place.visit, place.outlet, place.step]);
  useEffect(() => {
    addEventListener("online", link.reload);
    return () => removeEventListener("online", link.reload);
  }, []);
  const { problem } = link;
  const isDead = problem !== null && [404, 410].includes(problem.status);
  useEffect(() => {
    if (isDead) void forgetSeen(`/${name}`);
  }, [isDead]);
  if (isDead) return html`<${DeadLink} problem=${problem} />`;
  if (problem && !link.data) {
    return html`<${Page} title="Record an inspection" class="page-inspect"><${ProblemNote} problem=${problem} retry=${link.reload} /></${Page}>`;
  }
  if (!link.data) return html`<${Opening} />`;
  const { view, isFromMemory } = link.data;
  const visit = view.visits.find(({ visit_id: id }) => id === place.visit);
  if (!visit) return html`<${HomeList} link=${view} isFromMemory=${isFromMemory} />`;
  return html`<${OneVisit} key=${visit.visit_id} link=${view} linked=${visit} token=${token} name=${name} place=${place} onSubmitted=${link.reload} />`;
}

/** Record an inspection. */
export function InspectPage() {
  const [isTaken, setTaken] = useState(false);
  const [name, setName] = useState("");
  const token = linkToken.value;
  useEffect(() => {
    takeLinkToken();
    setTaken(true);
    addEventListener("hashchange", takeLinkToken);
    return () => removeEventListener("hashchange", takeLinkToken);
  }, []);
  useEffect(() => {
    let isWanted = true;
    if (token) linkName(token).then((found) => isWanted && setName(found));
    return () => {
      isWanted = false;
    };
  }, [token]);
  if (!isTaken) return html`<${Opening} />`;
  if (!token) return html`<${NoLink} />`;
  if (!name) return html`<${Opening} />`;
  return html`<${Work} key=${name} token=${token} name=${name} />`;
}
