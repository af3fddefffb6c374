"""An administrator looks a figure up and sees what is not known; a member reads what carbon rests on."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visit
from tests.browser.looks import look_at
from tests.browser.visitor import ADMINISTRATOR

pytestmark = pytest.mark.browser

DIARY_KEEPING_MEMBER = "min.jun.baekhan@marlpit.example"  # H-22: a diary and charging records; only looked at here
PHONE = {"width": 360, "height": 780}
DESK = {"width": 1280, "height": 900}


def test_a_rate_is_found_with_its_source_and_is_not_known_once_it_ran_out(visit: Visit) -> None:
    desk = visit(ADMINISTRATOR, **DESK)
    page = desk.open("/figures")
    expect(page.get_by_text(re.compile(r"\d+ figures not known on"))).to_be_visible()
    page.get_by_label("Search").fill("advisory public")
    rates = page.get_by_role("region", name="Company car: advisory rates")
    row = rates.get_by_role("row").filter(has_text="electric, charged in public")
    expect(row).to_contain_text("not known from 1 Sept 2026")
    expect(page.get_by_role("region", name="VAT")).to_have_count(0)

    page.get_by_label("In force on").fill("2026-08-31")
    expect(row).to_contain_text("15 pence per mile")
    expect(row).to_contain_text("HMRC, advisory fuel rates")
    page.get_by_label("All days, not only this one").check()
    expect(row).to_have_count(5)
    expect(row.filter(has_text="Not known")).to_have_count(1)
    look = look_at(page, **DESK)
    assert (look.too_wide, look.overlaps, desk.complaints) == ((), (), [])


def test_a_home_reads_what_is_an_estimate_and_whose_set_is_used_with_the_working_opened(visit: Visit) -> None:
    member = visit(DIARY_KEEPING_MEMBER, **PHONE)
    page = member.open("/money/carbon")
    # Which of the two depends on how much of the month the diary's four weeks cover on the day of the test.
    estimate = re.compile(r"(kWh is an estimate from miles|miles are an estimate from the energy recorded)")
    expect(page.get_by_text(estimate).first).to_be_visible()
    expect(page.get_by_text("2025 set used for charging in", exact=False).first).to_be_visible()
    expect(page.locator(".working-what").filter(has_text="0.19553 kg CO2e per kWh at the meter")).to_be_visible()
    average = page.locator(".carbon-cars").get_by_role("row").filter(has_text="Average")
    expect(average).to_contain_text(re.compile(r"kg.*kg less"))

    page.get_by_label("Emission factors").select_option("2023")
    expect(page.get_by_text("2023 set used for charging in", exact=False).first).to_contain_text("as asked")
    expect(average).to_contain_text("not known")
    look = look_at(page, **PHONE)
    assert (look.too_wide, look.overlaps) == ((), ())
    page.get_by_label("Period").select_option(index=3)
    expect(page.get_by_text("Nothing is recorded in this period")).to_be_visible()
    assert member.complaints == []
