"""Every page of the app in the states worth looking at: who opens it, and under which address."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from playwright.sync_api import Page

from tests.browser.inspection_links import MadeLink, agree_visit, make_link, revoke
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
DIARY_KEEPING_MEMBER = "min.jun.baekhan@marlpit.example"  # H-22: a diary of four weeks
NEW_MEMBER = "solveig.thorsmark@marlpit.example"  # H-40: no contract, no routine
SHORT_MEMBER = "ravi.chandrasekhan@marlpit.example"  # H-26: the battery is too small
ENDED_MEMBER = "tariq.almandari@marlpit.example"  # H-20: the contract has ended
HALF_CLEARED_MEMBER = "tamsin.arkwell@marlpit.example"  # H-37: two cars, one outlet cleared
NIGHT_SHIFT_MEMBER = "sibusiso.ndlomvu@marlpit.example"  # H-23: charges by day


MEMBER_WITH_CHARGES = "min.jun.baekhan@marlpit.example"  # H-22: three weeks of records, a charging point
CHECKING_MEMBER = "hone.rangimatua@marlpit.example"  # H-28
STOPPED_MEMBER = "nguyen.thi.lanhoa@marlpit.example"  # H-36: reports a tingle
OUTLETS_OF = {
    "with-limits": "eilidh.macanroy@marlpit.example",  # H-29
    "first-charge-missing": MANY_DRIVES_MEMBER,
    "not-accepted": "otis.wexcombe@marlpit.example",  # H-17
    "answers-missing": "ffion.llanwedd@marlpit.example",  # H-30
    "check-overdue": "orla.mcglenaghy@marlpit.example",  # H-31
}


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
    yield PageState("member-survey", "/survey", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-reminders", "/reminders", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-notices", "/notices", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-safety-file", "/safety-file", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-reports", "/reports", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-car", f"/cars/{vehicle_id}", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-diary", f"/cars/{vehicle_id}/diary", MEMBER_WHOSE_TIMES_MOVE, _open_all)
    yield PageState("member-habits", "/habits", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-money", "/money", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-lead", "/money/lead", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-lead-answered", "/money/lead", DIARY_KEEPING_MEMBER, _open_all)
    yield PageState("member-upgrade", "/money/upgrade", MEMBER_WHOSE_TIMES_MOVE, _open_all)
    yield PageState("member-carbon", "/money/carbon", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-carbon-of-a-diary", "/money/carbon", DIARY_KEEPING_MEMBER)
    yield PageState("member-tariffs-ranked", "/money/tariffs", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-tariffs-ranked-opened", "/money/tariffs", MEMBER_WHOSE_TIMES_MOVE, _open_all)
    yield PageState("member-tariffs-ranked-new", "/money/tariffs", NEW_MEMBER)
    yield PageState("member-week-opened", "/week", MEMBER_WHOSE_TIMES_MOVE, _open_all)
    yield PageState("member-what-if", "/what-if", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-what-if-asked", "/what-if", MEMBER_WHOSE_TIMES_MOVE, _ask_for_a_second_car)
    yield PageState("member-what-if-compared", "/what-if", MEMBER_WHOSE_TIMES_MOVE, _compare_a_charging_point)
    yield PageState("member-drive", "/drive", MEMBER_WHOSE_TIMES_MOVE, _open_all)
    yield PageState("two-cars-drive", "/drive", MEMBER_WITH_TWO_CARS, _find_the_place)
    yield PageState("member-charged-none", "/money/charged", MEMBER_WHOSE_TIMES_MOVE, _open_all)
    yield PageState("member-charged", "/money/charged", MEMBER_WITH_CHARGES, _open_all)
    yield PageState("member-appliances-none", "/money/appliances", MEMBER_WHOSE_TIMES_MOVE)
    yield PageState("member-appliances", "/money/appliances", MEMBER_WITH_CHARGES)
    yield PageState("member-appliances-asked", "/money/appliances", MEMBER_WITH_CHARGES, _state_a_dishwasher)
    yield PageState("member-no-such-page", "/nowhere", MEMBER_WHOSE_TIMES_MOVE)
    others = {
        "two-cars": (MEMBER_WITH_TWO_CARS, ("today", "week", "cars", "habits")),
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
    yield from check_states()


def check_states() -> Iterator[PageState]:
    """Yield the pages around a member's check: before, while and after it, and outlets in each clearance."""
    member = MEMBER_WHOSE_TIMES_MOVE
    yield PageState("check-start", "/check", member)
    yield PageState("check-question", "/check", member, _start_check)
    yield PageState("check-asked", "/check", member, _see_a_sign)
    yield PageState("check-clear", "/check", member, _find_no_sign)
    yield PageState("check-recorded", "/check", CHECKING_MEMBER, _record_no_sign)
    yield PageState("check-stop-answer", "/check", STOPPED_MEMBER, _report_a_tingle)
    yield PageState("check-stop-answer-again", "/check", STOPPED_MEMBER, _read_the_stop_answer)
    yield PageState("stopped-notices", "/notices", STOPPED_MEMBER)
    yield PageState("stopped-reports", "/reports", STOPPED_MEMBER)
    yield PageState("stop-answer-none", "/stop-answer", member)
    yield PageState("stopped-outlets", "/outlets", STOPPED_MEMBER, _open_all)
    yield PageState("extension-lead-form", "/outlets", STOPPED_MEMBER, _press("I use an extension lead"))
    yield PageState("extension-lead-in-use", "/outlets", STOPPED_MEMBER, _record_an_extension_lead)
    yield PageState("stopped-today", "/today", STOPPED_MEMBER)
    yield PageState("incident", "/incident", member)
    yield PageState("incident-which-outlet", "/incident", HALF_CLEARED_MEMBER, _pick_an_incident)
    yield PageState("first-charge-before", "/first-charge", member)
    yield PageState("first-charge-waiting", "/first-charge", MANY_DRIVES_MEMBER, _start_first_charge)
    yield PageState("member-outlets-opened", "/outlets", member, _open_all)
    for name, who in OUTLETS_OF.items():
        yield PageState(f"{name}-outlets", "/outlets", who)


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
        "safety-desk": ("/safety", None),
        "safety-desk-chosen": ("/safety", _choose_all),
        "safety-desk-asked": ("/safety?clearance=do_not_use", _remind_of_the_check),
        "safety-desk-found-none": ("/safety?clearance=do_not_use&told=read&area=NO9", None),
        "safety-file": (f"/households/{ids.household}/safety", None),
        "safety-file-not-cleared": (f"/households/{ids.household_not_cleared}/safety", None),
        "safety-file-yesterday": (f"/households/{ids.household}/safety", _as_at_yesterday),
        "reports": (f"/households/{ids.household}/reports", None),
        "overrides": (f"/households/{ids.household}/overrides", None),
        "overrides-stricter": (f"/households/{ids.household}/overrides", _decide_with_limits),
        "overrides-extension": (f"/households/{ids.household}/overrides", _put_a_date_off),
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
        "figures": ("/figures", None),
        "figures-of-all-days": ("/figures?all=true&search=advisory+electric", None),
        "figures-found-none": ("/figures?search=nothing+of+this+name", None),
        "carbon": ("/carbon", None),
        "upgrades": ("/upgrades?budget_pounds=5000", _open_all),
        "mail": ("/mail", None),
        "mail-did-not-arrive": ("/mail?status=problem", None),
        "duty": ("/duty", None),
        "duty-calls-made": ("/duty?rung=true", None),
        "notices": ("/notices", None),
        "settings": ("/reminders", None),
        "no-such-page": ("/nowhere", None),
    }
    for name, (path, act) in paths.items():
        yield PageState(f"administrator-{name}", path, ADMINISTRATOR, act)


@dataclass(frozen=True)
class LinkIds:
    """Links for the pages around visits: one with homes open today and tomorrow, one that was taken back."""

    open: MadeLink
    revoked: MadeLink


def make_links(administrator: Visitor) -> LinkIds:
    """Agree visits and send the links that the states of these pages need."""
    visits = (agree_visit(administrator, "H-37"), agree_visit(administrator, "H-19", days_ahead=1))
    revoked = make_link(administrator, *visits)
    revoke(administrator, revoked)
    return LinkIds(make_link(administrator, *visits), revoked)


def visit_states(links: LinkIds) -> Iterator[PageState]:
    """Yield the pages around visits: an electrician's, who has a link and no account, and an administrator's."""
    secret, visit = links.open.secret, links.open.visits[0]
    home = f"/inspect?visit={visit.id}"
    outlet = f"{home}&outlet={visit.outlet_ids[0]}&step="
    yield PageState("electrician-no-link", "/inspect")
    yield PageState("electrician-list", links.open.path)
    yield PageState("electrician-home", f"{home}#{secret}", act=_open_all)
    for step in ("certificate", "circuit", "found", "limits", "document"):
        yield PageState(f"electrician-{step}", f"{outlet}{step}#{secret}")
    yield PageState("electrician-readings", f"{outlet}readings#{secret}", act=_leave_a_reading_out)
    yield PageState("electrician-observations", f"{outlet}observations#{secret}", act=_add_an_observation)
    yield PageState("electrician-summary", f"{home}&step=summary#{secret}")
    yield PageState("electrician-dead-link", links.revoked.path)
    yield PageState("administrator-visits", "/visits?state=date_agreed", ADMINISTRATOR, _choose_all_visits)
    yield PageState("administrator-visits-found-none", "/visits?area=QQ9", ADMINISTRATOR)
    yield PageState("administrator-visit", f"/visits/{visit.id}", ADMINISTRATOR, _open_all)
    yield PageState("administrator-electricians", "/electricians", ADMINISTRATOR, _press("Add an electrician"))
    yield PageState("administrator-inspections", "/inspections", ADMINISTRATOR, _press("Compare with the document"))


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


def _find_the_place(page: Page) -> None:
    page.get_by_role("button", name="Find the place").click()
    page.get_by_role("heading", name="The place").wait_for()


def _press(name: str) -> Callable[[Page], None]:
    """Return what presses the first button of a name."""

    def press(page: Page) -> None:
        page.locator("main").get_by_role("button", name=name).first.click()

    return press


def _leave_a_reading_out(page: Page) -> None:
    # The draft is kept: seen again, it is left out already.
    if not page.get_by_role("button", name="Enter a reading").count():
        page.get_by_role("button", name="Not tested, because").first.click()
        page.keyboard.type("the board is locked")
    page.get_by_label("External loop impedance Ze", exact=True).fill("-1")
    page.get_by_text("Must lie between").wait_for()


def _add_an_observation(page: Page) -> None:
    page.get_by_role("button", name="Add an observation").click()
    page.get_by_label("What you observed").wait_for()


def _choose_all_visits(page: Page) -> None:
    page.get_by_label("Choose all visits shown").check()
    page.locator(".risk summary").first.click()
    page.get_by_role("button", name="Send one link").click()
    page.get_by_role("button", name="Send the link").wait_for()


def _open_forms(page: Page) -> None:
    """Open everything that opens; a form takes its button's place, so buttons are counted anew each time."""
    _open_all(page)
    for name in ("Record a certificate as a claim", re.compile("^Add an? (?!observation)"), "Change"):
        buttons = page.locator("main").get_by_role("button", name=name)
        for _ in range(buttons.count()):
            if buttons.count():
                buttons.first.click()


def _choose_all(page: Page) -> None:
    page.get_by_label("Choose all on this page").check()
    page.get_by_text("homes chosen.").wait_for()


def _remind_of_the_check(page: Page) -> None:
    """Ask homes that charging is stopped in: nobody is mailed, and the answer says why."""
    _choose_all(page)
    page.get_by_role("button", name="Remind of the check").click()
    page.get_by_role("dialog").get_by_role("button", name=re.compile("^Mail ")).click()
    page.locator("#asked-title").wait_for()


def _decide_with_limits(page: Page) -> None:
    page.get_by_role("button", name="Make an answer stricter").click()
    page.get_by_text("Use with limits", exact=True).click()
    page.get_by_label("Current at most").wait_for()


def _put_a_date_off(page: Page) -> None:
    page.get_by_role("button", name="Put a due date off").click()
    page.get_by_role("form", name="Put a due date off").wait_for()


def _read_the_stop_answer(page: Page) -> None:
    """The answer that nobody has read comes first again, until somebody says so."""
    if not page.get_by_role("button", name="I have read this").count():
        _report_a_tingle(page)
    page.get_by_role("button", name="I have read this").click()
    page.get_by_text("Noted that you have read it").wait_for()


def _as_at_yesterday(page: Page) -> None:
    page.get_by_role("button", name="Yesterday").click()
    page.get_by_text("what came in later is left out").wait_for()


def _see_what_would_change(page: Page) -> None:
    page.get_by_role("button", name="See what would change").click()
    page.get_by_role("button", name="Work it out again").wait_for()


def _ask_to_publish(page: Page) -> None:
    _see_what_would_change(page)
    page.get_by_role("button", name="Publish this version").click()
    page.get_by_role("dialog").wait_for()


def _ask_for_a_second_car(page: Page) -> None:
    page.get_by_role("region", name="What would change").get_by_text("A second car").click()
    page.get_by_label("Usable battery").wait_for()


def _compare_a_charging_point(page: Page) -> None:
    page.get_by_role("region", name="What would change").get_by_text("Another outlet").click()
    page.get_by_role("button", name="Compare").click()
    page.get_by_role("region", name="Now and changed").wait_for()
    page.get_by_role("button", name="Delete").first.wait_for()


def _state_a_dishwasher(page: Page) -> None:
    if not page.get_by_role("button", name="Remove Dishwasher").count():
        page.get_by_role("button", name="Add it").click()
    page.get_by_role("button", name="Save and work it out").click()
    page.get_by_role("heading", name="Dishwasher").wait_for()


def _start_check(page: Page) -> None:
    page.get_by_role("button", name="Start the check").click()
    page.get_by_text("Question 1 of").wait_for()


def _find_no_sign(page: Page) -> None:
    _start_check(page)
    while page.locator(".answers").count():
        page.locator(".answers .answer").first.click()
    page.get_by_role("heading", name="No sign so far").wait_for()


def _record_no_sign(page: Page) -> None:
    _find_no_sign(page)
    page.get_by_role("button", name="Save the check").click()
    page.get_by_role("heading", name="Recorded: no sign").wait_for()


def _see_a_sign(page: Page) -> None:
    _start_check(page)
    page.get_by_role("button", name="Yes", exact=True).click()
    page.get_by_role("dialog").wait_for()


def _report_a_tingle(page: Page) -> None:
    read = page.get_by_role("button", name="I have read this")
    if read.count():  # the answer to the last report comes first
        read.click()
        page.reload()
    _see_a_sign(page)
    page.get_by_role("button", name="Yes, that is right").click()
    page.get_by_text("Your report is recorded").wait_for()


def _pick_an_incident(page: Page) -> None:
    page.get_by_role("button", name="Buzzing, crackling or sparks").click()
    page.get_by_role("button", name="Go on").wait_for()


def _record_an_extension_lead(page: Page) -> None:
    main = page.locator("main")
    if main.get_by_text("None is recorded in use.").count():
        _press("I use an extension lead")(page)
        main.get_by_role("button", name="Record it").click()
    main.get_by_text("Do this now").first.wait_for()


def _start_first_charge(page: Page) -> None:
    begin = page.get_by_role("button", name="The charge is running: start the clock")
    if begin.count():
        begin.click()
    page.get_by_role("heading", name="Under way").wait_for()
