/** A part of a page whose modules are only fetched once it is drawn, so that what comes first is there sooner. */
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { asProblem } from "../lib/problem.js";
import { ProblemNote } from "./problem_note.js";
import { Skeleton } from "./skeleton.js";

/** @param {{ load: () => Promise<import("preact").ComponentType<any>>, props?: object }} props */
export function Later({ load, props = {} }) {
  const [part, setPart] = useState(/** @type {{ Part: import("preact").ComponentType<any> } | null} */ (null));
  const [problem, setProblem] = useState(/** @type {import("../lib/problem.js").Problem | null} */ (null));
  useEffect(() => {
    load().then((Part) => setPart({ Part }), (thrown) => setProblem(asProblem(thrown)));
  }, []);
  if (problem) return html`<${ProblemNote} problem=${problem} />`;
  return part ? html`<${part.Part} ...${props} />` : html`<${Skeleton} lines=${1} />`;
}
