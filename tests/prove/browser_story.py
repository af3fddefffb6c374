"""Proof: the main story in a real browser on a new data folder, from starting the demo to a member's moved times.

An administrator publishes a draft with other cheap hours, watches the homes being planned again and sees the
member's mail; the member sees the charging times at the new hours.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

from tests.browser.chromium import chromium_path, open_chromium
from tests.browser.demo import running_demo
from tests.browser.story import ChargingTime, Told, play

OLD_HOURS = ("01:00", "05:00")
NEW_HOURS = ("02:30", "06:30")


def main(budget_s: float | None = None) -> int:
    """Print one line of figures; return 1 where the story does not end as it should. It is too short to be cut."""
    if chromium_path() is None:
        print("browser_story: not run, Chromium is missing")
        return int(os.environ.get("CI") == "true")
    began = time.perf_counter()
    with (
        tempfile.TemporaryDirectory(prefix="plugward-story-") as folder,
        open_chromium() as browser,
        running_demo(Path(folder)) as demo,
    ):
        told = play(browser, demo)
    faults = _faults(told)
    print(
        f"browser_story: demo ready after {demo.ready_s:.1f} s, published to progress ended {told.replanned_s:.1f} s "
        f"({told.progress[-1] if told.progress else 'no progress seen'}), mail seen after another {told.mail_s:.1f} s, "
        f"charging times {_in_words(told.before)} -> {_in_words(told.after)}, "
        f"{len(told.complaints)} complaints of the browser, {time.perf_counter() - began:.1f} s in all"
    )
    for fault in faults:
        print(f"browser_story: {fault}", file=sys.stderr)
    return int(bool(faults))


def _faults(told: Told) -> list[str]:
    before = [each for each in told.before if each.on >= told.valid_from_on]
    after = [each for each in told.after if each.on >= told.valid_from_on]
    is_mail_right = bool(after) and f"{after[0].starts_at} to {after[0].ends_at}" in told.letter
    holds = {
        "the progress ended": bool(told.progress) and told.progress[-1].startswith("Finished."),
        "the times were in the old cheap hours": bool(before) and all(_is_within(each, OLD_HOURS) for each in before),
        "the times are in the new cheap hours": bool(after) and all(_is_within(each, NEW_HOURS) for each in after),
        "the mail names the first new time": is_mail_right,
        "the browser had nothing to complain of": not told.complaints,
    }
    return [f"it does not hold that {what}" for what, is_so in holds.items() if not is_so] + told.complaints


def _is_within(time_: ChargingTime, hours: tuple[str, str]) -> bool:
    return hours[0] <= time_.starts_at and time_.ends_at <= hours[1]


def _in_words(times: list[ChargingTime]) -> str:
    return ", ".join(f"{each.on:%a} {each.starts_at}-{each.ends_at}" for each in times) or "none"


if __name__ == "__main__":
    sys.exit(main())
