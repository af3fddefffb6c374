/** The only module with a side effect: start listening, ask who is signed in, fetch the page, draw. */
import { html, render } from "htm/preact";
import { App } from "./app.js";
import { matchRoute } from "./lib/route_match.js";
import { preloadPage } from "./preload.js";
import { entrances } from "./routes.js";
import { startRouter } from "./state/router.js";
import { loadSession, watchSession } from "./state/session.js";
import { startTheme } from "./state/theme.js";

startTheme();
startRouter();
watchSession();
loadSession();

// The page is fetched while the service is still asked who is signed in.
preloadPage(matchRoute(entrances, location.pathname)?.route.path ?? "/sign-in");

const root = /** @type {HTMLElement} */ (document.getElementById("app"));
// The static shell has the same shape; it is replaced, not moved.
root.replaceChildren();
render(html`<${App} />`, root);
