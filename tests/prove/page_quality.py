"""Proof: every page of every role under axe, light and dark, on a phone and a desktop; first load; Lighthouse.

Pictures of all states are kept in ``tests/.artifacts/pages`` to be looked at: a machine's verdict is not a person's.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from tests.browser.chromium import chromium_path, open_chromium
from tests.browser.claim_states import claim_states, read_claim_ids
from tests.browser.demo import ROOT, Demo, running_demo
from tests.browser.page_states import (
    PageState,
    administrator_states,
    make_links,
    member_states,
    newest_letter_path,
    own_vehicle_id,
    read_ids,
    signed_out_states,
    visit_states,
)
from tests.browser.visitor import ADMINISTRATOR, MEMBER_WHOSE_TIMES_MOVE, Visitor, signed_in_state
from tests.prove import lighthouse

PICTURES = ROOT / "tests" / ".artifacts" / "pages"
FORMS: tuple[tuple[int, str], ...] = tuple((width, scheme) for width in (360, 1280) for scheme in ("light", "dark"))
HEIGHT_PX = 900
FIRST_LOAD_MAX_BYTES = 60_000
AXE_SHARE = 0.6  # of a cut run's time; the rest is Lighthouse's


@dataclass
class Checked:
    """What axe said so far."""

    states: set[str] = field(default_factory=set)
    looks: int = 0
    violations: Counter[str] = field(default_factory=Counter)


@dataclass(frozen=True)
class Weight:
    """A first load on the wire: bodies as sent, so gzipped where they are, and headers beside them."""

    requests: int
    body_bytes: int
    header_bytes: int

    def in_words(self) -> str:
        """Return it as a figure, in the thousands of bytes in which it is limited."""
        bodies, headers = self.body_bytes / 1000, self.header_bytes / 1000
        return f"{bodies:.1f} kB gzipped in {self.requests} requests ({headers:.1f} kB of headers beside it)"


def main(budget_s: float | None = None) -> int:
    """Print one line of figures; return 1 for a violation, too heavy a first load, or (with CI=true) a missing tool."""
    if chromium_path() is None:
        print("page_quality: not run, Chromium is missing")
        return int(os.environ.get("CI") == "true")
    began = time.perf_counter()
    axe_ends = None if budget_s is None else began + budget_s * AXE_SHARE
    with tempfile.TemporaryDirectory(prefix="plugward-pages-") as folder, running_demo(Path(folder)) as demo:
        with open_chromium() as browser:
            people = People(browser, demo)
            states = list(all_states(people))
            checked = check_states(people, states, ends=axe_ends)
            weights = first_loads(people)
            cookie = people.cookie_header(MEMBER_WHOSE_TIMES_MOVE)
        scores = lighthouse.scores(demo.base_url, cookie)
    is_light = all(weight.body_bytes < FIRST_LOAD_MAX_BYTES for weight in weights.values())
    print(
        f"page_quality: axe {sum(checked.violations.values())} violations in {checked.looks} looks at "
        f"{len(checked.states)} of {len(states)} page states (light and dark, 360 and 1280 px); "
        f"first load {', '.join(f'{name} {weight.in_words()}' for name, weight in weights.items())}; "
        f"{scores.in_words()}; {time.perf_counter() - began:.0f} s"
    )
    for what, count in checked.violations.most_common():
        print(f"page_quality: axe {what}: {count} looks", file=sys.stderr)
    is_missing = scores.missing != "" and os.environ.get("CI") == "true"
    return int(bool(checked.violations) or not is_light or is_missing or not checked.looks)


class People:
    """Everybody's cookies, and windows that carry them."""

    def __init__(self, browser: Browser, demo: Demo) -> None:
        self._browser = browser
        self.demo = demo
        self._kept: dict[str, dict] = {}

    def window(self, who: str | None, **more: object) -> Visitor:
        """Open a window for a person, signed in once; None is somebody who is not."""
        if who is not None and who not in self._kept:
            self._kept[who] = signed_in_state(self._browser, self.demo, who)
        return Visitor(self._browser, self.demo, storage_state=self._kept.get(who or ""), **more)

    def cookie_header(self, who: str) -> str:
        """Return the Cookie header of a person who has a window."""
        return "; ".join(f"{cookie['name']}={cookie['value']}" for cookie in self._kept[who]["cookies"])


def all_states(people: People) -> Iterator[PageState]:
    """Yield every state of every page, ready to be opened."""
    nobody, administrator = people.window(None), people.window(ADMINISTRATOR)
    member = people.window(MEMBER_WHOSE_TIMES_MOVE)
    administrator.open("/households")
    member.open("/today")
    yield from member_states(own_vehicle_id(member))
    yield from administrator_states(read_ids(administrator))
    yield from signed_out_states(newest_letter_path(nobody))
    yield from visit_states(make_links(administrator))
    yield from claim_states(read_claim_ids(administrator))
    for visitor in (nobody, administrator, member):
        visitor.close()


def check_states(people: People, states: list[PageState], *, ends: float | None) -> Checked:
    """Run axe over the states until the time is up; a picture of each look is kept.

    Where the time is limited, every state is seen in one form first, the forms in turn, before any in another.
    """
    shutil.rmtree(PICTURES, ignore_errors=True)
    PICTURES.mkdir(parents=True)
    checked, axe = Checked(), Axe()
    if not _finds_a_fault(people, axe):
        raise RuntimeError("axe found nothing on a page made to be at fault, so it would find nothing here either")
    windows: dict[str | None, Visitor] = {}
    for turn in range(1 if ends is None else len(FORMS)):
        for place, state in enumerate(states):
            if ends is not None and time.perf_counter() > ends:
                break
            if state.who not in windows:
                windows[state.who] = people.window(state.who)
            forms = FORMS if ends is None else (FORMS[(place + turn) % len(FORMS)],)
            _check(windows[state.who], state, forms, checked, axe)
    for visitor in windows.values():
        visitor.close()
    return checked


def _check(visitor: Visitor, state: PageState, forms: Sequence[tuple[int, str]], checked: Checked, axe: Axe) -> None:
    page = visitor.open(state.path)
    if state.act is not None:
        state.act(page)
        visitor.settle()
    checked.states.add(state.name)
    for width, scheme in forms:
        page.set_viewport_size({"width": width, "height": HEIGHT_PX})
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        page.wait_for_timeout(80)
        for violation in axe.run(page).response["violations"]:
            checked.violations[f"{violation['id']} on {state.name}, {width} px, {scheme}"] += 1
        page.screenshot(path=PICTURES / f"{state.name}-{width}-{scheme}.png", full_page=True)
        checked.looks += 1


def _finds_a_fault(people: People, axe: Axe) -> bool:
    """Say whether axe sees a field without a name when there is one."""
    visitor = people.window(None)
    page = visitor.open("/sign-in")
    page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    found = {violation["id"] for violation in axe.run(page).response["violations"]}
    visitor.close()
    return "label" in found


def first_loads(people: People) -> dict[str, Weight]:
    """Return what a first visit receives: to the first page signed out, and to today's page signed in."""
    return {
        "sign-in": _weight_of(people.window(None), "/"),
        "today": _weight_of(people.window(MEMBER_WHOSE_TIMES_MOVE), "/today"),
    }


def _weight_of(visitor: Visitor, path: str) -> Weight:
    """Count what a cold load receives; a new window's cache is empty."""
    sizes = []
    visitor.page.on("requestfinished", lambda request: sizes.append(request.sizes()))
    visitor.open(path)
    visitor.page.wait_for_load_state("networkidle")
    visitor.close()
    return Weight(
        requests=len(sizes),
        body_bytes=sum(size["responseBodySize"] for size in sizes),
        header_bytes=sum(size["responseHeadersSize"] for size in sizes),
    )


if __name__ == "__main__":
    sys.exit(main())
