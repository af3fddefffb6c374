"""A result that comes in two parts by one link, and one that is corrected: nothing is ever written over."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.doorstep import (
    CERTIFICATE,
    fill_answers,
    fill_certificate,
    fill_readings,
    open_home,
    open_link,
)
from tests.browser.inspection_links import MadeVisit, agree_visit, make_correction, make_link
from tests.browser.visitor import ADMINISTRATOR, Visitor

pytestmark = pytest.mark.browser

TWO_PARTS, CORRECTED = "H-13", "H-14"  # no other test looks at these homes


def test_the_certificate_goes_in_now_and_the_readings_later_by_the_same_link(visit: Visit) -> None:
    administrator = _at_home(visit)
    agreed = agree_visit(administrator, TWO_PARTS)
    link = make_link(administrator, agreed)
    number = f"P-{link.id[:8]}"
    visitor, page = open_link(visit, link)
    open_home(page)
    fill_certificate(page, number)
    _attach(page)
    _read_over(page, TWO_PARTS)
    page.get_by_label("The certificate now, the readings later").check()
    _submit(page, "Certificate recorded")
    expect(page.locator("main")).to_contain_text("This link stays open for them")
    [part] = _recorded(administrator, agreed, number)
    assert part["is_partial"] and part["accepted_at"] is None

    page.goto("about:blank")
    page = visitor.open(link.path)
    open_home(page)
    expect(page.get_by_label("Its number")).to_have_value(number)
    fill_answers(page)
    fill_readings(page)
    _read_over(page, TWO_PARTS)
    _submit(page, "Recorded")
    expect(page.locator("main")).to_contain_text("This link is now spent")
    rows = _recorded(administrator, agreed, number)
    whole = next(row for row in rows if not row["is_partial"])
    assert [row["id"] for row in rows if row["superseded_at"] is None] == [whole["id"]]
    assert whole["supersedes_id"] == part["id"], "the part is kept beside the whole"
    assert whole["answers"]["zs_ohm"]["value"] == "0.61"


def test_a_correction_takes_the_place_of_a_result_which_stays_as_it_was(visit: Visit) -> None:
    administrator = _at_home(visit)
    agreed = agree_visit(administrator, CORRECTED)
    link = make_link(administrator, agreed)
    number = f"W-{link.id[:8]}"
    _, page = open_link(visit, link)
    _fill_all(page, number)
    _read_over(page, CORRECTED)
    _submit(page, "Recorded")
    [wrong] = _recorded(administrator, agreed, number)

    correction = make_correction(administrator, agreed, wrong["id"])
    _, page = open_link(visit, correction)
    page.get_by_role("link", name="Open home").click()
    expect(page.locator("main")).to_contain_text("correction")
    page.go_back()
    _fill_all(page, f"{number}-right")
    _read_over(page, CORRECTED)
    _submit(page, "Recorded")

    [right] = _recorded(administrator, agreed, f"{number}-right")
    [kept] = _recorded(administrator, agreed, number)
    assert right["supersedes_id"] == wrong["id"] and right["superseded_at"] is None
    assert kept["superseded_at"] is not None
    left_out = ("superseded_at", "recorded_state")
    assert {name: value for name, value in kept.items() if name not in left_out} == {
        name: value for name, value in wrong.items() if name not in left_out
    }, "nothing of what stood before was written over"

    seen = administrator.open("/inspections")
    expect(seen.locator("section.card", has_text=f"{number}-right")).to_have_count(1)
    reply = administrator.context.request.post(
        f"/api/v1/households/{agreed.household_id}/inspections/{wrong['id']}/correction_link",
        data={"sent_to": "visitor@gale-wiring.example"},
        headers={"X-Requested-By": "plugward"},
    )
    assert reply.status == 409, "a result is corrected once; the next correction is of the corrected one"


def _fill_all(page: Page, number: str) -> None:
    open_home(page)
    fill_certificate(page, number)
    fill_answers(page)
    fill_readings(page)
    _attach(page)


def _attach(page: Page) -> None:
    page.get_by_role("link", name="Document").first.click()
    page.get_by_label("Choose a file").set_input_files(CERTIFICATE)
    expect(page.locator("main")).not_to_contain_text("will be sent")


def _read_over(page: Page, reference: str) -> None:
    page.get_by_role("link", name=f"home {reference}").click()
    page.get_by_role("link", name="Read over and submit").click()


def _submit(page: Page, heading: str) -> None:
    page.get_by_role("button", name="Submit").click()
    page.get_by_role("dialog").get_by_role("button", name="Submit").click()
    page.get_by_role("heading", name=heading, exact=True).wait_for()


def _recorded(administrator: Visitor, agreed: MadeVisit, number: str) -> list[dict[str, Any]]:
    """Return what was recorded of the home under a certificate's number."""
    found = administrator.read(f"/households/{agreed.household_id}")["inspections"]
    return [row for row in found if row["certificate_number"] == number]


def _at_home(visit: Visit) -> Visitor:
    administrator = visit(ADMINISTRATOR)
    administrator.open("/visits")
    return administrator
