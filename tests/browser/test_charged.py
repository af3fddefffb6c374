"""A member enters a charge on the phone, reads a table with one bad row, and sees what it came to beside the plan."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.looks import look_at

pytestmark = pytest.mark.browser

MEMBER_WHO_RECORDS = "desmond.abelthorpe@marlpit.example"  # H-08: cheap from 01:00 to 05:00; no other test's home
PHONE = {"width": 360, "height": 780}
LONDON = ZoneInfo("Europe/London")


def ago(days: int) -> str:
    """Return a local day some days before today."""
    return f"{datetime.now(LONDON).date() - timedelta(days=days)}"


def give_table(page: Page, *rows: str) -> None:
    """Choose a table of charges as the file to read."""
    text = "\n".join(("starts_at,ends_at,energy_kwh,place,external_id", *rows))
    page.get_by_label("File", exact=True).set_input_files(
        {"name": "charges.csv", "mimeType": "text/csv", "buffer": text.encode()}
    )


def test_a_charge_is_added_by_hand_then_a_table_and_both_are_priced_day_by_day(visit: Visit) -> None:
    member = visit(MEMBER_WHO_RECORDS, **PHONE)
    page = member.open("/money/charged")
    expect(page.get_by_role("heading", name="Nothing is recorded for these days")).to_be_visible()

    page.get_by_label("Day it began").fill(ago(2))
    page.get_by_label("From", exact=True).fill("18:30")
    page.get_by_label("Until", exact=True).fill("20:30")
    page.get_by_label("Energy", exact=True).fill("4.4")
    page.get_by_role("button", name="Add the charge").click()
    # All of it outside the cheap hours: 4.4 kWh at 31.4p instead of 9.6p.
    expect(page.get_by_role("heading", name="4.4 kWh at home for £1.38")).to_be_visible()
    facts = page.get_by_role("region", name="4.4 kWh at home for £1.38")
    expect(facts).to_contain_text(re.compile(r"Outside the cheap hours\s*4.4 kWh"))
    expect(facts).to_contain_text(re.compile(r"More than it had to cost\s*£0.96"))
    facts.get_by_text("How these figures come about").click()
    expect(page.get_by_text("What the time of charging cost more than it had to").first).to_be_visible()

    page.get_by_text("Read many from a file").click()
    good = f"{ago(4)} 01:00,{ago(4)} 04:00,6.6,home,A-1"
    give_table(page, good, f"{ago(3)} 01:00,{ago(3)} 02:00,66,home,A-2")
    page.get_by_role("button", name="Read the file").click()
    expect(page.get_by_role("alert")).to_contain_text("Line 3, energy_kwh: is more than the outlet could give")
    give_table(page, good, f"{ago(3)} 01:00,{ago(3)} 04:00,6.6,home,A-2")
    page.get_by_role("button", name="Read the file").click()
    expect(page.get_by_text("2 charges, 13.2 kWh")).to_be_visible()
    page.get_by_role("button", name="Keep 2 charges").click()
    expect(page.get_by_role("heading", name="17.6 kWh at home for £2.65")).to_be_visible()
    expect(page.get_by_role("list", name="Days, the newest first").get_by_role("listitem")).to_have_count(14)
    page.get_by_text("All figures as a table").click()
    expect(page.get_by_role("region", name="Table of days").get_by_role("row")).to_have_count(15)
    look = look_at(page, **PHONE)
    assert (look.too_wide, look.overlaps) == ((), ())

    each = page.get_by_role("region", name="Each charge")
    each.get_by_role("button", name=re.compile("Take out .*18:30")).click()
    page.get_by_role("dialog").get_by_role("button", name="Take it out").click()
    expect(page.get_by_role("heading", name="13.2 kWh at home for £1.27")).to_be_visible()
    assert [line for line in member.complaints if "422" not in line] == []


def test_an_end_that_cannot_be_is_refused_beside_its_field(visit: Visit) -> None:
    page = visit(MEMBER_WHO_RECORDS, **PHONE).open("/money/charged")
    page.get_by_label("Day it began").fill(ago(-1))
    page.get_by_label("From", exact=True).fill("18:30")
    page.get_by_label("Until", exact=True).fill("20:30")
    page.get_by_label("Energy", exact=True).fill("4.4")
    page.get_by_role("button", name="Add the charge").click()
    expect(page.locator(".fault")).to_contain_text("must not lie ahead", ignore_case=True)


def test_appliances_are_stated_and_never_suggested_for_the_night(visit: Visit) -> None:
    member = visit(MEMBER_WHO_RECORDS, **PHONE)
    page = member.open("/money/appliances")
    expect(page.get_by_text("Never leave a dishwasher, washing machine or tumble dryer on")).to_be_visible()
    page.get_by_label("Appliance to add").select_option("tumble_dryer")
    page.get_by_role("button", name="Add it").click()
    page.get_by_role("button", name="Save and work it out").click()
    card = page.locator("li.card").filter(has_text="Tumble dryer")
    # Its prices are low from 01:00 to 05:00 alone.
    expect(card).to_contain_text("Not suggested")
    expect(card).to_contain_text("nobody is awake at home for all of it")
    card.get_by_text("How this comes about").click()
    expect(card.get_by_text("own choice, common practice, no source").first).to_be_visible()
    look = look_at(page, **PHONE)
    assert (look.too_wide, look.overlaps) == ((), ())
    assert member.complaints == []
