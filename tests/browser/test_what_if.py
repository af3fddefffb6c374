"""A member asks on the phone what a charging point would change, shares the totals, and takes them back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visit
from tests.browser.looks import look_at
from tests.browser.visitor import ADMINISTRATOR

pytestmark = pytest.mark.browser

MEMBER_WHO_COMPARES = "elif.karadoruk@marlpit.example"  # H-25: its socket is too slow; no other test's home
PHONE = {"width": 360, "height": 780}


def test_a_charging_point_is_compared_shared_as_totals_and_deleted(visit: Visit) -> None:
    member = visit(MEMBER_WHO_COMPARES, **PHONE)
    page = member.open("/week")
    page.get_by_role("link", name="What if", exact=True).click()
    expect(page.get_by_role("heading", name="Worth knowing")).to_be_visible()
    expect(page.get_by_text("A charging point at 32 A instead of 6 A: garage socket").first).to_be_visible()

    page.get_by_text("Another outlet", exact=True).click()
    page.get_by_label("Keep it as").fill("A point on the drive")
    page.get_by_role("button", name="Compare").click()
    sides = page.get_by_role("region", name="Now and changed")
    cost = sides.get_by_role("row").filter(has_text="Cost")
    expect(cost).to_contain_text(re.compile(r"£\d+\.\d\d\s*£\d+\.\d\d"))
    expect(page.get_by_role("heading", name="A point on the drive")).to_be_focused()
    expect(page.get_by_text("as if it were cleared: nothing is charged there before")).to_be_visible()
    expect(page.locator(".working-what").filter(has_text="A year of such weeks").first).to_be_visible()
    look = look_at(page, **PHONE)
    assert (look.too_wide, look.overlaps) == ((), ())

    page.get_by_role("button", name="Share with the administrator").click()
    asked = page.get_by_role("dialog")
    expect(asked).to_contain_text("Not when your cars leave")
    asked.get_by_role("button", name="Share the totals").click()
    expect(page.get_by_text("shared as totals")).to_be_visible()

    desk = visit(ADMINISTRATOR)
    desk.open("/households")
    homes = desk.read("/households?page_size=50")["items"]
    household_id = next(home["id"] for home in homes if home["reference"] == "H-25")
    shown = desk.open(f"/households/{household_id}").get_by_role("region", name="Table of shared comparisons")
    expect(shown).to_contain_text("A point on the drive")
    expect(shown).not_to_contain_text(re.compile("departure|leaves", re.IGNORECASE))

    page.get_by_role("button", name="Delete A point on the drive").click()
    page.get_by_role("dialog").get_by_role("button", name="Delete").click()
    expect(page.get_by_text("Nothing yet. What you compare is kept here.")).to_be_visible()
    assert member.complaints == []


def test_a_number_that_cannot_be_is_refused_beside_its_field(visit: Visit) -> None:
    page = visit(MEMBER_WHO_COMPARES, **PHONE).open("/what-if")
    page.get_by_text("Another ceiling or reserve", exact=True).click()
    page.get_by_label("Everyday ceiling").fill("50")
    page.get_by_label("Reserve", exact=True).fill("60")
    page.get_by_role("button", name="Compare").click()
    expect(page.locator(".fault")).to_contain_text("must be below the everyday ceiling", ignore_case=True)
    expect(page.get_by_role("region", name="Now and changed")).to_have_count(0)
