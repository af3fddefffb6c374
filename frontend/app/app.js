/**
 * The frame around the pages: header, the page that the address names, footer, notices and the question dialog.
 * A page's module is fetched when it is first opened; the frame stays while it comes.
 */
import { signal } from "@preact/signals";
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { ConfirmDialog } from "./components/confirm_dialog.js";
import { Empty } from "./components/empty.js";
import { Footer } from "./components/footer.js";
import { Header } from "./components/header.js";
import { Notices } from "./components/notices.js";
import { Page } from "./components/page.js";
import { ProblemNote } from "./components/problem_note.js";
import { Skeleton } from "./components/skeleton.js";
import { asProblem } from "./lib/problem.js";
import { matchRoute, redirectFor } from "./lib/route_match.js";
import { loadMoreStyles, preloadPage } from "./preload.js";
import { entrances } from "./routes.js";
import { go, url } from "./state/router.js";
import { isSessionKnown, loadSession, session, sessionProblem } from "./state/session.js";

/** @typedef {import("./lib/route_match.js").Route} Route */

/** The pages known so far: those where visits begin, all of them once another was asked for. */
const table = signal(entrances);
const matchNow = () => matchRoute(table.value, url.value.split("?")[0]);

/** The same shape as the static shell and as a page that is loading, so that nothing moves when the page comes. */
function Waiting() {
  return html`<div class="page"><div class="page-head"></div><${Skeleton} lines=${2} size="card" /></div>`;
}

function NotFoundPage() {
  return html`<${Page} title="No such page"><${Empty} title="There is nothing at this address.">
    <p><a href="/">Go to the first page</a></p></${Empty}></${Page}>`;
}

/** @param {{ problem: import("./lib/problem.js").Problem }} props */
const NotLoaded = ({ problem }) => html`<${Page} title="This page did not load"><${ProblemNote} problem=${problem} retry=${() => location.reload()} /></${Page}>`;

/** @param {{ route: Route, params: Record<string, string> }} props */
function RoutedPage({ route, params }) {
  const [shown, setShown] = useState(/** @type {{ route: Route, Component: any } | null} */ (null));
  const [problem, setProblem] = useState(/** @type {import("./lib/problem.js").Problem | null} */ (null));
  useEffect(() => {
    let isWanted = true;
    setProblem(null);
    preloadPage(route.path);
    Promise.all([route.load(), route.isBasic ? undefined : loadMoreStyles()]).then(
      ([Component]) => isWanted && setShown({ route, Component }),
      (thrown) => isWanted && setProblem(asProblem(thrown)),
    );
    return () => {
      isWanted = false;
    };
  }, [route]);
  if (problem) return html`<${NotLoaded} problem=${problem} />`;
  if (shown?.route !== route) return html`<${Waiting} />`;
  return html`<${shown.Component} key=${url.value.split("?")[0]} ...${params} />`;
}

/**
 * Where the person must be sent from the address now shown, if anywhere.
 * @returns {string | null}
 */
function redirectNow() {
  if (!isSessionKnown.value || sessionProblem.value) return null;
  return redirectFor(matchNow()?.route ?? null, session.value, url.value);
}

/** A part fetched by itself, and done without where it does not come. @param {{ load: () => Promise<any> }} props */
function Extra({ load }) {
  const [part, setPart] = useState(/** @type {{ Part: any } | null} */ (null));
  useEffect(() => {
    load().then((Part) => setPart({ Part }), () => {});
  }, []);
  return part && html`<${part.Part} />`;
}

/** A stop answer that nobody has read yet stands first, also where the service cannot be reached. */
const loadKeptStop = () => Promise.all([import("./pages/safety/kept_stop.js"), loadMoreStyles()]).then(([module]) => module.KeptStop);

/** The banner of unread notices: no part of what somebody came for; without it the page still says what may not be used. */
const loadBanner = () => import("./components/notice_banner.js").then((module) => module.NoticeBanner);

/** What stands in main: the page, or why there is none. */
function Main() {
  const match = matchNow();
  const target = redirectNow();
  const isOpening = !match && !target && isSessionKnown.value && table.value === entrances;
  const [problem, setProblem] = useState(/** @type {import("./lib/problem.js").Problem | null} */ (null));
  useEffect(() => {
    if (isOpening) import("./more_routes.js").then(({ routes }) => (table.value = routes), (thrown) => setProblem(asProblem(thrown)));
  }, [isOpening]);
  useEffect(() => {
    // Asked again, because the address may have changed since this was drawn (signing out changes both).
    const latest = redirectNow();
    if (latest) go(latest, { replace: true, isAsked: true });
  }, [target]);
  const isOpen = match?.route.isOpen === true;
  if (sessionProblem.value && !isOpen) {
    return html`<${Page} title="Plugward"><${Extra} load=${loadKeptStop} /><${ProblemNote} problem=${sessionProblem.value} retry=${loadSession} /></${Page}>`;
  }
  if (isOpening && problem) return html`<${NotLoaded} problem=${problem} />`;
  if ((!isSessionKnown.value && !isOpen) || target || isOpening) return html`<${Waiting} />`;
  if (!match) return html`<${NotFoundPage} />`;
  return html`<${RoutedPage} route=${match.route} params=${match.params} />`;
}

/** The whole application. */
export function App() {
  return html`
    <a class="skip" href="#main">Skip to the content</a>
    <${Header} />
    <main id="main" tabindex="-1">${session.value && html`<${Extra} load=${loadBanner} />`}<${Main} /></main>
    <${Footer} />
    <${Notices} />
    <${ConfirmDialog} />
  `;
}
