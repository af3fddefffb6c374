/** One run, read again until it is finished. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getRun } from "../../api/planning.js";
import { Progress } from "../../components/progress.js";
import { runName, runWords } from "../../lib/tariff_words.js";
import { formatInstant } from "../../lib/time.js";
import { useRepeat } from "../../state/repeat.js";

/** @typedef {import("../../api/types.d.ts").Run} Run */

const POLL_MS = 1_000;
const ZONE = "Europe/London";

/** @param {{ run: Run }} props */
export function RunProgress({ run }) {
  const [latest, setLatest] = useState(run);
  useRepeat(async () => {
    const { data } = await getRun(run.id);
    setLatest(data);
    return data.finished_at !== null;
  }, POLL_MS, run.finished_at === null);
  const label = `${runName(latest)}, begun ${formatInstant(latest.created_at, ZONE)}`;
  const isFinished = latest.finished_at !== null;
  const done = isFinished ? Math.max(1, latest.household_count) : latest.done_count;
  return html`<${Progress} label=${label} done=${done} total=${latest.household_count} text=${runWords(latest)} />`;
}
