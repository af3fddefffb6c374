"""Every page of the app in the states worth looking at: who opens it, and under which address."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from playwright.sync_api import Page

from tests.browser.visitor import (
    ADMINISTRATOR,
    MEMBER_WHOSE_TIMES_MOVE,
    MEMBER_WITH_TWO_CARS,
    MEMBER_WITHOUT_CLEARANCE,
    Visitor,
)

HALF_HOURLY_MEMBER = "chidinma.ezenwali@marlpit.example"  # H-10: half-hourly prices, negative and missing ones
MANY_DRIVES_MEMBER = "tomoko.hayashiba@marlpit.example"  # H-12: several short drives a day
MEMBER_WITHOUT_CAR = "leilani.kahoalei@marlpit.example"  # H-32
NEW_MEMBER = "solveig.thorsmark@marlpit.example"  # H-40: no contract, no routine
SHORT_MEMBER = "ravi.chandrasekhan@marlpit.example"  # H-26: the battery is too small
ENDED_MEMBER = "tariq.almandari@marlpit.example"  # H-20: the contract has ended
HALF_CLEARED_MEMBER = "tamsin.arkwell@marlpit.example"  # H-37: two cars, one outlet cleared
NIGHT_SHIFT_MEMBER = "sibusiso.ndlomvu@marlpit.example"  # H-23: charges by day


@dataclass(frozen=True)
class PageState:
    """A page as one person sees it; ``act`` is done once it has settled."""

    name: str
    path: str
    who: str | None = None
    act: Callable[[Page], None] | None = None


def signed_out_states(letter_path: str) -> Iterator[PageState]:
    """Yield what anybody sees: the sign-in page, and the pages that the server writes by itself."""
    yield PageState("sign-in", "/sign-in")
    yield PageState("sign-in-refused", "/sign-in", act=_sign_in_wrongly)
    yield PageState("demo-mail", "/demo/mail")
    yield PageState("demo-mail-letter", letter_path)
    yield PageState("api-docs", "/api/v1/docs")
    yield PageState("api-problems", "/api/v1/problems")


def member_states(vehicle_id: str) -> Iterator[PageState]:
    """Yield every page of one member, then what other members' homes make of the plan's pages."""
    for name in ("today", "week", "working", "cars", "outlets"):
        yield PageState(f"member-{name}", f"/{name}", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-car", f"/cars/{vehicle_id}", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-week-opened", "/week", MEMBER_WHOSE_TIMES_MOVE, _open_all)
    yield PageState("member-no-such-page", "/nowhere", MEMBER_WHOSE_TIMES_MOVE)
    others = {
        "two-cars": (MEMBER_WITH_TWO_CARS, ("today", "week", "cars")),
        "not-cleared": (MEMBER_WITHOUT_CLEARANCE, ("today", "week", "outlets")),
        "half-hourly": (HALF_HOURLY_MEMBER, ("today", "week")),
        "many-drives": (MANY_DRIVES_MEMBER, ("week",)),
        "no-car": (MEMBER_WITHOUT_CAR, ("today", "week", "cars")),
        "new-home": (NEW_MEMBER, ("today", "week", "outlets")),
        "short": (SHORT_MEMBER, ("today",)),
        "contract-ended": (ENDED_MEMBER, ("today", "week")),
        "half-cleared": (HALF_CLEARED_MEMBER, ("today", "outlets")),
        "night-shift": (NIGHT_SHIFT_MEMBER, ("today", "week")),
    }
    for name, (who, pages) in others.items():
        for page in pages:
            yield PageState(f"{name}-{page}", f"/{page}", who)


def administrator_states(ids: Ids) -> Iterator[PageState]:
    """Yield every page of the administrator."""
    tariff = f"/tariffs/{ids.tariff}"
    paths: dict[str, tuple[str, Callable[[Page], None] | None]] = {
        "households": ("/households", None),
        "households-found-none": ("/households?search=nobody+of+this+name", None),
        "household": (f"/households/{ids.household}", None),
        "household-forms": (f"/households/{ids.household}", _open_forms),
        "household-not-cleared": (f"/households/{ids.household_not_cleared}", None),
        "household-new": ("/households/new", None),
        "tariffs": ("/tariffs", None),
        "tariffs-adding": ("/tariffs", lambda page: page.get_by_role("button", name="Add a tariff").click()),
        "tariff": (tariff, None),
        "tariff-half-hourly": (f"/tariffs/{ids.tariff_half_hourly}", None),
        "version-new": (f"{tariff}/new", None),
        "version-draft": (f"{tariff}/{ids.draft}", None),
        "version-preview": (f"{tariff}/{ids.draft}", _see_what_would_change),
        "version-asked": (f"{tariff}/{ids.draft}", _ask_to_publish),
        "version-published": (f"{tariff}/{ids.version}", None),
        "runs": ("/runs", None),
        "mail": ("/mail", None),
        "no-such-page": ("/nowhere", None),
    }
    for name, (path, act) in paths.items():
        yield PageState(f"administrator-{name}", path, ADMINISTRATOR, act)


@dataclass(frozen=True)
class Ids:
    """Parts of addresses, read from the demo."""

    household: str
    household_not_cleared: str
    tariff: str
    tariff_half_hourly: str
    draft: str
    version: str


def read_ids(administrator: Visitor) -> Ids:
    """Ask the API for the ids that the administrator's addresses need; the demo's draft must be unpublished."""
    homes = {home["reference"]: home["id"] for home in administrator.read("/households?page_size=50")["items"]}
    tariffs = {tariff["name"]: tariff for tariff in administrator.read("/tariffs")["items"]}
    night_saver = tariffs["Night saver (invented)"]
    versions = night_saver["versions"]
    drafts = [version["id"] for version in versions if version["published_at"] is None]
    assert drafts, "the demo's draft has been published already"
    return Ids(
        household=homes["H-01"],
        household_not_cleared=homes["H-03"],
        tariff=night_saver["id"],
        tariff_half_hourly=tariffs["Half-hour market (invented)"]["id"],
        draft=drafts[0],
        version=next(version["id"] for version in versions if version["published_at"] is not None),
    )


def own_vehicle_id(member: Visitor) -> str:
    """Return the id of the first car of a signed-in member."""
    household_id = member.read("/session")["household_id"]
    return str(member.read(f"/households/{household_id}/vehicles")["items"][0]["id"])


def newest_letter_path(visitor: Visitor, *, subject: str = "") -> str:
    """Wait for mail in the demo's sink and return the address of the newest letter with this subject."""
    letters = visitor.page.locator(".letters a", has_text=subject)
    for _ in range(60):
        visitor.open("/demo/mail")
        if letters.count():
            return str(letters.first.get_attribute("href"))
        visitor.page.wait_for_timeout(500)
    raise AssertionError(f"no mail {subject!r} has come to the demo's sink")


def _sign_in_wrongly(page: Page) -> None:
    page.get_by_label("E-mail address").fill("nobody@marlpit.example")
    page.get_by_label("Password").fill("not the password")
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("alert").wait_for()


def _open_all(page: Page) -> None:
    for part in page.locator("main details > summary").all():
        part.click()


def _open_forms(page: Page) -> None:
    """Open everything that opens; a form takes its button's place, so buttons are counted anew each time."""
    _open_all(page)
    for name in ("Record an inspection", re.compile("^Add an? (?!observation)"), "Change"):
        buttons = page.locator("main").get_by_role("button", name=name)
        for _ in range(buttons.count()):
            if buttons.count():
                buttons.first.click()


def _see_what_would_change(page: Page) -> None:
    page.get_by_role("button", name="See what would change").click()
    page.get_by_role("button", name="Work it out again").wait_for()


def _ask_to_publish(page: Page) -> None:
    _see_what_would_change(page)
    page.get_by_role("button", name="Publish this version").click()
    page.get_by_role("dialog").wait_for()
