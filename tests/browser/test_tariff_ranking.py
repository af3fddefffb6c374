"""A member sees which tariff is cheapest for the whole home, says what the meter is, and reads why one was left out."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.looks import look_at
from tests.browser.visitor import ADMINISTRATOR

pytestmark = pytest.mark.browser

MEMBER_WHO_RANKS = "sibusiso.ndlomvu@marlpit.example"  # H-23: charges by day; other tests only read it
PHONE = {"width": 360, "height": 780}
POUNDS = re.compile(r"£[\d,]+\.\d\d")


def _yearly(page: Page) -> list[float]:
    texts = page.locator(".place-year strong").all_inner_texts()
    return [float(text.replace("£", "").replace(",", "")) for text in texts]


def test_tariffs_are_ranked_with_their_working_and_the_meter_changes_the_ranking(visit: Visit) -> None:
    member = visit(MEMBER_WHO_RANKS, **PHONE)
    page = member.open("/money/tariffs")
    expect(page.get_by_role("region", name="Verdict")).to_contain_text(POUNDS)
    before = _yearly(page)
    assert before == sorted(before)
    assert len(before) >= 3
    expect(page.get_by_text("a typical value: of an average home, not of yours")).to_be_visible()
    page.locator(".place details > summary").first.click()
    expect(page.locator(".working-what").filter(has_text="The whole year").first).to_contain_text(re.compile(r"\d+ p"))
    left_out = page.get_by_role("region", name="Left out, and why")
    expect(left_out).to_contain_text("Half-hour market (invented)")
    look = look_at(page, **PHONE)
    assert (look.too_wide, look.overlaps) == ((), ())

    page.get_by_label("Your electricity meter").select_option("half_hourly")
    page.get_by_label("What the house uses in a year, without cars").fill("5000")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("5,000 kWh, as you told us")).to_be_visible()
    after = _yearly(page)
    assert min(after) > min(before)
    assert after == sorted(after)
    assert member.complaints == []


def test_a_reading_that_runs_back_is_refused_beside_its_field(visit: Visit) -> None:
    page = visit(MEMBER_WHO_RANKS, **PHONE).open("/money/tariffs")
    for day, kwh in (("2026-01-10", "700"), ("2026-02-20", "650")):
        page.get_by_label("Read on").fill(day)
        page.get_by_label("The meter stood at").fill(kwh)
        page.get_by_role("button", name="Add reading").click()
        if kwh == "700":
            expect(page.get_by_role("button", name=re.compile("Take out the reading of"))).to_be_visible()
    expect(page.locator(".fault")).to_contain_text("a register never runs back", ignore_case=True)
    page.get_by_role("button", name=re.compile("Take out the reading of")).click()
    expect(page.get_by_text("No reading yet.")).to_be_visible()


def test_an_administrator_says_who_can_take_a_tariff_and_brings_one_in(visit: Visit) -> None:
    desk = visit(ADMINISTRATOR)
    page = desk.open("/tariffs")
    page.get_by_role("button", name="Bring in an OCPI tariff").click()
    page.get_by_label("Name").fill("Taken in by hand (invented)")
    page.get_by_label("Valid from").fill("2027-01-01")
    page.get_by_label("Standing charge, without VAT").fill("41.5")
    page.get_by_role("textbox", name="Tariff object").fill("{")
    page.get_by_role("button", name="Bring in as a draft").click()
    expect(page.get_by_role("alert").filter(has_text="is not JSON")).to_be_visible()
    part = '{"price_components": [{"type": "FLAT", "price": 0.5, "vat": 5, "step_size": 1}]}'
    fields = '"country_code": "GB", "party_id": "EXA", "id": "1", "currency": "GBP"'
    fields += ', "last_updated": "2026-11-01T00:00:00Z"'
    page.get_by_role("textbox", name="Tariff object").fill(f'{{{fields}, "elements": [{part}]}}')
    page.get_by_role("button", name="Bring in as a draft").click()
    expect(page.locator("form")).to_contain_text("only ENERGY can be said in rate bands", ignore_case=True)
    energy = part.replace("FLAT", "ENERGY")
    page.get_by_role("textbox", name="Tariff object").fill(f'{{{fields}, "elements": [{energy}]}}')
    page.get_by_role("button", name="Bring in as a draft").click()
    page.wait_for_url(re.compile(r"/tariffs/[0-9a-f]{32}/[0-9a-f]{32}"))
    page.goto(page.url.rsplit("/", 1)[0])
    desk.settle()
    page.get_by_label("Other terms").fill("Bills by e-mail only")
    page.get_by_label("Leaving it earlier costs").fill("29.99")
    page.get_by_role("region", name="Who can take it").get_by_role("button", name="Save").click()
    expect(page.get_by_text("Members see it where tariffs are compared")).to_be_visible()
    page.reload()
    desk.settle()
    expect(page.get_by_label("Leaving it earlier costs")).to_have_value("29.99")
    desk.complaints = [each for each in desk.complaints if "422" not in each]
    assert desk.complaints == []
