/** One home of a link: reads it, holds its draft and documents, and shows the part that the address names. */
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { getLinkedVisit, saveVisitDraft, uploadVisitFile } from "../../../api/inspection_link.js";
import { Page } from "../../../components/page.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { Skeleton } from "../../../components/skeleton.js";
import { EMPTY_VISIT } from "../../../lib/inspection_form.js";
import { DocumentSender } from "../../../state/document_sender.js";
import { DraftKeeper } from "../../../state/draft_keeper.js";
import { keptStore } from "../../../state/kept_store.js";
import { forgetSeen, useSeen } from "../../../state/seen.js";
import { hrefOf } from "./address.js";
import { DeadLink } from "./dead_link.js";
import { HomeView } from "./home_view.js";
import { OutletSteps } from "./outlet_steps.js";
import { Receipt } from "./receipt.js";
import { Summary } from "./summary.js";

/** @typedef {import("../../../api/visit_types.d.ts").VisitView} VisitView */
/** @typedef {import("../../../lib/inspection_form.js").VisitForm} VisitForm */
/** @typedef {{ keeper: DraftKeeper<VisitForm>, sender: DocumentSender }} Kept */

/**
 * The draft as the service holds it; an empty object is none.
 * @param {Pick<VisitView, "draft" | "draft_version">} view
 * @returns {import("../../../state/draft_keeper.js").Saved<VisitForm>}
 */
function savedOf({ draft, draft_version: version }) {
  const isThere = draft !== null && Object.keys(draft).length > 0;
  return { draft: isThere ? { ...EMPTY_VISIT, .../** @type {VisitForm} */ (/** @type {unknown} */ (draft)) } : null, version };
}

/**
 * What was entered for this home under an earlier link and never submitted.
 * @param {import("../../../state/kept_store.js").KeptStore} store
 * @param {string} visitId
 * @param {string} ownKey
 * @returns {Promise<VisitForm | undefined>}
 */
async function earlierDraft(store, visitId, ownKey) {
  const [key] = (await store.keys(`draft/${visitId}/`)).filter((found) => found !== ownKey);
  return key === undefined ? undefined : (await store.get(key))?.draft;
}

/** @param {{ token: string, name: string, view: VisitView, isFromMemory: boolean }} visit */
async function openKept({ token, name, view, isFromMemory }) {
  const store = await keptStore();
  const id = view.visit_id;
  const key = `draft/${id}/${name}`;
  const keeper = new DraftKeeper({
    store, key, empty: EMPTY_VISIT,
    door: {
      send: async (draft, version) => (await saveVisitDraft(token, id, draft, version)).data.draft_version,
      read: async () => savedOf((await getLinkedVisit(token, id)).data),
    },
  });
  const sender = new DocumentSender({
    store, keeper, folder: `file/${id}/`,
    upload: async (file, fileName, uploadKey) => (await uploadVisitFile(token, id, file, fileName, uploadKey)).data.id,
  });
  await keeper.start(isFromMemory ? null : savedOf(view), await earlierDraft(store, id, key));
  void sender.send();
  return { keeper, sender };
}

/**
 * Try again when there is a signal, and at once when the person comes back to the page.
 * @param {Kept | null} kept
 */
function useSending(kept) {
  useEffect(() => {
    if (!kept) return undefined;
    const send = () => {
      if (document.visibilityState === "hidden") return;
      void kept.keeper.flush();
      void kept.sender.send();
    };
    addEventListener("online", send);
    document.addEventListener("visibilitychange", send);
    return () => {
      removeEventListener("online", send);
      document.removeEventListener("visibilitychange", send);
      void kept.keeper.flush().finally(() => kept.keeper.stop());
    };
  }, [kept]);
}

/**
 * @param {{
 *   link: import("../../../api/visit_types.d.ts").LinkView,
 *   linked: import("../../../api/visit_types.d.ts").LinkedVisit,
 *   token: string, name: string, place: import("./address.js").Place, onSubmitted: () => void,
 * }} props
 */
export function OneVisit({ link, linked, token, name, place, onSubmitted }) {
  const visit = useSeen(`seen/${linked.visit_id}/${name}`, () => getLinkedVisit(token, linked.visit_id));
  const [kept, setKept] = useState(/** @type {Kept | null} */ (null));
  const [receipt, setReceipt] = useState(/** @type {import("./receipt.js").Told | null} */ (null));
  const [isChecked, setChecked] = useState(false);
  useEffect(() => {
    if (!visit.data || kept) return;
    openKept({ token, name, ...visit.data }).then(setKept);
  }, [visit.data]);
  useSending(kept);
  const tell = (/** @type {import("./receipt.js").Told} */ told) => {
    setReceipt(told);
    if (!told.result.is_partial) void forgetSeen(`${linked.visit_id}/${name}`);
  };
  const back = html`<a href=${hrefOf({})}>All homes of this link</a>`;
  if (receipt) return html`<${Receipt} told=${receipt} link=${link} onClose=${onSubmitted} />`;
  if (visit.problem && [404, 410].includes(visit.problem.status)) return html`<${DeadLink} problem=${visit.problem} />`;
  if (!visit.data || !kept) {
    return html`<${Page} title=${`Home ${linked.reference}`} class="page-inspect" lead=${back}>
      ${visit.problem ? html`<${ProblemNote} problem=${visit.problem} retry=${visit.reload} />` : html`<${Skeleton} lines=${2} size="card" />`}</${Page}>`;
  }
  const { view } = visit.data;
  const outlet = view.outlets.find(({ id }) => id === place.outlet && view.outlet_ids.includes(id));
  const shared = { view, kept, place, isChecked };
  if (outlet) return html`<${OutletSteps} ...${shared} outlet=${outlet} />`;
  if (place.step === "summary") {
    return html`<${Summary} ...${shared} token=${token} onChecked=${() => setChecked(true)} onReceipt=${tell} />`;
  }
  return html`<${HomeView} ...${shared} link=${link} isFromMemory=${visit.data.isFromMemory} />`;
}
