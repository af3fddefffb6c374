"""What holds on every page: readable on a phone, nothing cut off or over something else, nothing in the console."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import Browser

from tests.browser.claim_states import claim_states, read_claim_ids
from tests.browser.conftest import StateOf, Visit
from tests.browser.demo import Demo
from tests.browser.looks import Look, look_at
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
from tests.browser.visitor import ADMINISTRATOR, MEMBER_WHOSE_TIMES_MOVE, Visitor

pytestmark = pytest.mark.browser

PHONE_PX, DESKTOP_PX = 360, 1280
SMALLEST_PX = 11
# The proof page_quality opens every state; a quick run opens every page, and these states of other homes.
OTHERS = (
    "two-cars-today", "two-cars-week", "half-hourly-week", "not-cleared-today", "new-home-today", "short-today",
    "check-stop-answer", "first-charge-waiting", "member-miles-not-known", "finance-claims",
)  # fmt: skip
LEFT_TO_THE_PROOF = (
    "member-week-opened",
    "administrator-households-found-none",
    "administrator-household-not-cleared",
    "administrator-safety-desk-found-none",
    "administrator-safety-file-not-cleared",
    "administrator-tariffs-adding",
    "administrator-version-draft",
    "electrician-circuit",
    "electrician-found",
    "electrician-limits",
    "electrician-document",
    "administrator-visits-found-none",
    "administrator-claims-found-none",
    "administrator-claim-asking",
    "administrator-claim-stated",
)
# A refused sign-in and a link that was taken back are answered so by design, and the browser notes each.
REFUSED_BY_DESIGN = {"sign-in-refused": "401", "electrician-dead-link": "410"}


@dataclass(frozen=True)
class Seen:
    """One page as it was found."""

    state: PageState
    path: str
    phone: Look
    desktop: Look
    complaints: tuple[str, ...]


def _states(visitors: dict[str | None, Visitor]) -> Iterator[PageState]:
    yield from signed_out_states(newest_letter_path(visitors[None]))
    own = (None, MEMBER_WHOSE_TIMES_MOVE, ADMINISTRATOR)
    states = [
        *member_states(own_vehicle_id(visitors[MEMBER_WHOSE_TIMES_MOVE])),
        *administrator_states(read_ids(visitors[ADMINISTRATOR])),
        *visit_states(make_links(visitors[ADMINISTRATOR])),
        *claim_states(read_claim_ids(visitors[ADMINISTRATOR])),
    ]
    for state in states:
        if state.name not in LEFT_TO_THE_PROOF and (state.who in own or state.name in OTHERS):
            yield state


def _see(visitor: Visitor, state: PageState, before: PageState | None) -> Seen:
    """Open a page and look at it; where the app is open and untouched, go there within it, as a person does."""
    visitor.complaints.clear()
    is_open = before is not None and before.who is not None and before.act is None
    is_other = is_open and before.path.split("?")[0] != state.path.split("?")[0]
    page = visitor.go(state.path) if is_other else visitor.open(state.path)
    path = page.evaluate("location.pathname")
    if state.act is not None:
        state.act(page)
        visitor.settle()
    phone, desktop = look_at(page, width=PHONE_PX), look_at(page, width=DESKTOP_PX)
    return Seen(state, path, phone, desktop, tuple(visitor.complaints))


@pytest.fixture(scope="module")
def seen(browser: Browser, demo: Demo, state_of: StateOf) -> list[Seen]:
    """Every page, opened once and looked at on a phone and on a desktop."""
    visitors: dict[str | None, Visitor] = {}

    def visitor_of(who: str | None) -> Visitor:
        if who not in visitors:
            state = None if who is None else state_of(browser, who)
            visitors[who] = Visitor(browser, demo, storage_state=state)
        return visitors[who]

    for who in (None, ADMINISTRATOR, MEMBER_WHOSE_TIMES_MOVE):
        visitor_of(who).open("/")
    found: list[Seen] = []
    before: dict[str | None, PageState] = {}
    for state in list(_states(visitors)):
        found.append(_see(visitor_of(state.who), state, before.get(state.who)))
        before[state.who] = state
    for visitor in visitors.values():
        visitor.close()
    return found


def _faults(seen: list[Seen], what: Callable[[Seen], object]) -> dict[str, object]:
    return {one.state.name: fault for one in seen if (fault := what(one))}


def test_every_address_of_the_app_has_been_opened(seen: list[Seen], visit: Visit) -> None:
    page = visit().open("/sign-in")
    count, missed = page.evaluate(
        """async (paths) => {
          const { routes } = await import("/app/more_routes.js");
          const { matchRoute } = await import("/app/lib/route_match.js");
          const isOpened = ({ path }) => paths.some((opened) => matchRoute([{ path }], opened) !== null);
          return [routes.length, routes.filter((route) => !isOpened(route)).map(({ path }) => path)];
        }""",
        [one.path for one in seen],
    )
    assert count >= 16 and missed == []


def test_each_page_is_opened_and_not_another_in_its_place(seen: list[Seen]) -> None:
    assert _faults(seen, lambda one: one.path if one.path != re.split("[?#]", one.state.path)[0] else None) == {}


def test_no_text_is_rendered_smaller_than_11_px_on_a_phone(seen: list[Seen]) -> None:
    def too_small(one: Seen) -> object:
        return (one.phone.smallest_text, one.phone.smallest_px) if one.phone.smallest_px < SMALLEST_PX else None

    assert _faults(seen, too_small) == {}


def test_nothing_reaches_beyond_the_edge_of_the_screen(seen: list[Seen]) -> None:
    assert _faults(seen, lambda one: (*one.phone.too_wide, *one.desktop.too_wide)) == {}


def test_no_words_lie_over_other_words(seen: list[Seen]) -> None:
    assert _faults(seen, lambda one: (*one.phone.overlaps, *one.desktop.overlaps)) == {}


def test_no_page_makes_the_browser_complain(seen: list[Seen]) -> None:
    def complaints(one: Seen) -> list[str]:
        by_design = REFUSED_BY_DESIGN.get(one.state.name)
        return [text for text in one.complaints if by_design is None or by_design not in text]

    assert _faults(seen, complaints) == {}
