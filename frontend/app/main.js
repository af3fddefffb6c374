/** The only module with a side effect: start listening, ask who is signed in, draw. */
import { html, render } from "htm/preact";
import { App } from "./app.js";
import { startRouter } from "./state/router.js";
import { loadSession, watchSession } from "./state/session.js";
import { startTheme } from "./state/theme.js";

startTheme();
startRouter();
watchSession();
loadSession();

const root = /** @type {HTMLElement} */ (document.getElementById("app"));
// The static shell has the same shape; it is replaced, not moved.
root.replaceChildren();
render(html`<${App} />`, root);
