"""Is a charging point worth it: a member asks on the phone and enters a quote; the administrator ranks the homes."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visit
from tests.browser.looks import look_at
from tests.browser.visitor import ADMINISTRATOR

pytestmark = pytest.mark.browser

MEMBER_WHO_ASKS = "anneke.vandermolt@marlpit.example"  # H-09: its inspection lapsed; no other test's home
PHONE = {"width": 360, "height": 780}
DESKTOP = {"width": 1280, "height": 900}


def test_a_quote_turns_the_verdict_and_a_second_car_is_asked_about(visit: Visit) -> None:
    member = visit(MEMBER_WHO_ASKS, **PHONE)
    page = member.open("/money/upgrade")
    verdict = page.get_by_role("region", name="Verdict")
    expect(verdict).to_contain_text("Nothing may charge here so far: a check of what is there comes first.")
    works = page.get_by_role("region", name="Works compared with staying")
    expect(works.get_by_role("row")).to_have_count(5)
    expect(works).to_contain_text("assumed")
    page.get_by_text("7 kW charging point, cable of its own:").first.click()
    expect(page.get_by_text("May cost at most").first).to_be_visible()
    expect(page.locator(".working-what").filter(has_text="Present value").first).to_be_visible()
    expect(page.get_by_text("A question for the employer's tax adviser, not an answer")).to_be_visible()
    look = look_at(page, **PHONE)
    assert (look.too_wide, look.overlaps) == ((), ())

    page.get_by_role("button", name="Enter a quote").click()
    page.get_by_label("What it costs").fill("lots")
    page.get_by_role("button", name="Save quote").click()
    expect(page.locator(".fault")).to_contain_text("decimal number", ignore_case=True)
    page.get_by_label("What it costs").fill("10")
    page.get_by_role("button", name="Save quote").click()
    expect(verdict).to_contain_text(re.compile(r"A 7 kW charging point with a cable of its own pays back in"))
    expect(works).to_contain_text("your quote")

    page.get_by_text("Reckon with a second car").click()
    page.get_by_label("Miles on a working day").fill("120")
    page.get_by_role("button", name="Reckon with it").click()
    expect(verdict).to_contain_text("The second car is reckoned in.")
    page.get_by_role("button", name="Leave it out").click()
    expect(verdict).not_to_contain_text("The second car")

    page.get_by_role("button", name=re.compile("^Delete the quote")).click()
    page.get_by_role("dialog").get_by_role("button", name="Delete").click()
    expect(page.get_by_text("None yet: the costs above are assumed")).to_be_visible()
    assert [line for line in member.complaints if "422" not in line] == []


def test_the_scheme_is_ranked_for_a_budget_with_stopped_homes_first(visit: Visit) -> None:
    desk = visit(ADMINISTRATOR, **DESKTOP)
    page = desk.open("/upgrades")
    table = page.get_by_role("region", name="Table of homes in order")
    expect(table.get_by_role("row").nth(1)).to_contain_text("Safety first")
    expect(table.get_by_role("row").nth(1)).to_contain_text("Do not use", ignore_case=True)
    page.get_by_label("Budget").fill("0")
    page.get_by_role("button", name="Rank the homes").click()
    expect(page).to_have_url(re.compile(r"budget_pounds=0$"))
    expect(page.locator(".figures")).to_contain_text("£0 of £0")
    page.get_by_label("Budget").fill("99999999")
    page.get_by_role("button", name="Rank the homes").click()
    expect(page.get_by_role("alert")).to_contain_text("must lie between", ignore_case=True)
    page.get_by_label("Budget").fill("3000")
    page.get_by_role("button", name="Rank the homes").click()
    expect(page.locator(".figures")).to_contain_text("of £3,000")
    page.get_by_text("How the choice was made").click()
    expect(page.locator(".working-what").filter(has_text="Homes that charging is stopped in").first).to_be_visible()
    with page.expect_download() as downloading:
        page.get_by_role("link", name="Export as CSV").click()
    assert downloading.value.suggested_filename.startswith("upgrades-")
    for size in (PHONE, DESKTOP):
        look = look_at(page, **size)
        assert (look.too_wide, look.overlaps) == ((), ())
    assert [line for line in desk.complaints if "422" not in line] == []
