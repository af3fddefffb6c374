"""What members see of their home, and what the plan makes of what they enter."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.looks import look_at
from tests.browser.page_states import HALF_CLEARED_MEMBER
from tests.browser.visitor import (
    MEMBER_WHOSE_TIMES_MOVE,
    MEMBER_WITH_TWO_CARS,
    MEMBER_WITHOUT_CLEARANCE,
    Visitor,
)

pytestmark = pytest.mark.browser

MEMBER_WHO_ENTERS = "greta.lindqvarn@marlpit.example"  # H-27: one car; no other test looks at this home
A4_PX = 718  # 210 mm less margins of 10 mm, at 96 px an inch
PHONE = {"width": 360, "height": 780}


def test_the_first_page_says_when_to_plug_in_and_what_to_set(visit: Visit) -> None:
    page = visit(MEMBER_WHOSE_TIMES_MOVE, **PHONE).open("/")
    expect(page).to_have_url(re.compile("/today$"))
    answer = page.get_by_role("region", name="Tonight's answer")
    expect(answer).to_contain_text(re.compile(r"Plug in by \d\d:\d\d|Be plugged in now, until \d\d:\d\d"))
    car = page.get_by_role("region", name="blue hatchback")
    expect(car).to_contain_text(re.compile(r"\d\d:\d\d to \d\d:\d\d"))
    for fact in ("Charge reached", "Cost", "Energy", "Outlet"):
        expect(car.get_by_role("term").filter(has_text=fact)).to_be_visible()


def test_a_member_with_two_cars_sees_both_and_never_both_at_once_on_the_one_outlet(visit: Visit) -> None:
    member = visit(MEMBER_WITH_TWO_CARS)
    page = member.open("/today")
    expect(page.get_by_role("region", name="blue hatchback")).to_be_visible()
    expect(page.get_by_role("region", name="green estate")).to_be_visible()
    page = member.open("/week")
    expect(page.locator(".legend")).to_contain_text("A blue hatchback charging")
    expect(page.locator(".legend")).to_contain_text("B green estate charging")
    by_car = {car: _half_hours(member, car) for car in ("blue hatchback", "green estate")}
    assert all(by_car.values()) and not set.intersection(*by_car.values())


def _half_hours(member: Visitor, car: str) -> set[tuple[str, str]]:
    """Return (day, start) of each half-hour in which the member's table has a car charging."""
    found = set()
    for row in member.page.get_by_role("region", name="Table of charging times").locator("tbody tr").all():
        if car in row.locator("td[data-name='Car']").inner_text():
            times = re.findall(r"(\d\d):(\d\d)", row.locator("td[data-name='Charging time']").inner_text())
            first, end = (int(hour) * 2 + int(minute) // 30 for hour, minute in times)
            day = row.locator("th").inner_text()
            found |= {(day, f"{slot // 2:02}:{slot % 2 * 30:02}") for slot in range(first, end or 48)}
    return found


def test_a_member_whose_outlet_is_not_cleared_reads_do_not_use_and_what_to_do(visit: Visit) -> None:
    member = visit(MEMBER_WITHOUT_CLEARANCE, **PHONE)
    page = member.open("/outlets")
    outlet = page.get_by_role("region", name="garage socket")
    expect(outlet).to_contain_text("Do not use")
    expect(outlet).to_contain_text("C2 open")
    expect(outlet).to_contain_text(re.compile("Next step:.*Do not charge here"))
    member.open("/today")
    answer = page.get_by_role("region", name="Tonight's answer")
    expect(answer).to_contain_text(re.compile("do not (use|charge)|no outlet .*may be used", re.IGNORECASE))
    expect(page.get_by_role("region", name="silver saloon")).to_contain_text("Do not charge at the garage socket")
    expect(page.get_by_text(re.compile(r"^\d\d:\d\d to \d\d:\d\d$"))).to_have_count(0)


def test_one_outlet_that_is_not_cleared_is_not_said_of_the_other(visit: Visit) -> None:
    page = visit(HALF_CLEARED_MEMBER).open("/today")
    expect(page.get_by_role("region", name="orange hatchback")).to_contain_text(re.compile(r"\d\d:\d\d to \d\d:\d\d"))
    expect(page.locator("main")).not_to_contain_text("No outlet at this home")


def test_entering_the_charge_replans_and_the_page_follows(visit: Visit) -> None:
    page = visit(MEMBER_WHO_ENTERS, **PHONE).open("/today")
    totals = page.get_by_role("region", name="The next seven days")
    before, was = totals.inner_text(), _charge(page)
    entered = 5 if was > 50 else 95
    page.get_by_label("Charge now").fill(str(entered))
    page.get_by_role("button", name="Update the plan").click()
    expect(page.get_by_text("The new plan is ready.")).to_be_visible(timeout=20_000)
    expect(totals).not_to_have_text(before)
    assert (_charge(page) > was) == (entered > was)


def test_a_charge_that_cannot_be_is_refused_beside_the_field(visit: Visit) -> None:
    page = visit(MEMBER_WHOSE_TIMES_MOVE).open("/today")
    was = _charge(page)
    field = page.get_by_label("Charge now")
    field.fill("120")
    page.get_by_role("button", name="Update the plan").click()
    assert field.evaluate("field => field.validity.rangeOverflow")
    assert page.get_by_role("status").all_inner_texts() == [""] * page.get_by_role("status").count()
    page.reload()
    assert _charge(page) == was


def _charge(page: Page) -> int:
    """Return the charge of the one car as last entered, once the page has read it [%]."""
    line = page.locator(".car-basis")
    expect(line).to_contain_text("as you entered it")
    found = re.search(r"Charge(?: now)?: (\d+)%", line.inner_text())
    assert found
    return int(found[1])


def test_times_are_the_homes_wherever_the_browser_is(visit: Visit) -> None:
    here = visit(MEMBER_WHOSE_TIMES_MOVE, timezone_id="Europe/London")
    away = visit(MEMBER_WHOSE_TIMES_MOVE, timezone_id="Pacific/Auckland")
    for path in ("/today", "/week"):
        here.open(path)
        away.open(path)
        assert here.lines() == away.lines()


def test_touching_the_chart_reads_one_half_hour_and_the_words_stay(visit: Visit) -> None:
    page = visit(MEMBER_WHOSE_TIMES_MOVE, has_touch=True, is_mobile=True, **PHONE).open("/week")
    page.locator(".price-text").first.tap()
    reading = page.locator(".chart-readout")
    expect(reading).to_have_text(re.compile(r"\d\d:\d\d to \d\d:\d\d: [\d.]+p"))


def test_on_paper_the_week_has_its_tables_and_no_controls(visit: Visit) -> None:
    page = visit(MEMBER_WITH_TWO_CARS).open("/week")
    page.emulate_media(media="print")
    table = page.get_by_role("region", name="Table of charging times")
    expect(table).to_be_visible()
    expect(table.get_by_role("columnheader", name="Charging time")).to_be_visible()
    expect(page.get_by_role("img", name="Price per half-hour and charging times")).to_be_visible()
    expect(page.get_by_role("navigation", name="Main")).to_be_hidden()
    expect(page.get_by_role("button")).to_have_count(0)
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert look_at(page, width=A4_PX).too_wide == ()
