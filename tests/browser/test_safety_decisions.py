"""What a safety officer decides on a telephone: a mistaken entry withdrawn, an answer made stricter, a date put off."""

from __future__ import annotations

import io
import re
import uuid
from datetime import date, timedelta
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.inspection_links import agree_visit
from tests.browser.visitor import ADMINISTRATOR, Visitor

pytestmark = pytest.mark.browser

PHONE = {"width": 360, "height": 780}
# No other test looks at these homes.
MISTAKEN, MISTAKEN_MEMBER = "H-11", "soren.blikstad@marlpit.example"
STRICTER, STRICTER_MEMBER = "H-38", "ioana.petrulescu@marlpit.example"
PUT_OFF = "H-05"  # its inspection falls due in a few days


def test_a_mistaken_entry_is_withdrawn_with_photo_and_reason_and_the_rest_stands(visit: Visit) -> None:
    member = visit(MISTAKEN_MEMBER, **PHONE)
    page = member.open("/incident")
    for sign in ("Scorched", "Plug or socket warmer"):
        _report(page, sign)
        page = member.open("/incident")
    expect(page.get_by_role("heading", name="What is wrong?")).to_be_visible()
    page = member.open("/reports")
    expect(page.locator("main")).to_contain_text("Only a safety officer of your scheme can withdraw it")
    expect(page.get_by_role("button", name="Withdraw")).to_have_count(0)

    officer = visit(ADMINISTRATOR, **PHONE)
    page = officer.open(f"/households/{_home_id(officer, MISTAKEN)}/safety")
    page.get_by_role("link", name="What was reported").click()
    card = page.get_by_role("region", name=re.compile("Scorched"))
    card.get_by_role("button", name="Withdraw as a mistake").click()
    card.get_by_label("Photo of what was taken for the sign").set_input_files(_photo())
    card.get_by_label("Why it was a mistake").fill("The brown mark was the shadow of the bracket")
    card.get_by_role("button", name="Withdraw it").click()
    expect(page.get_by_role("dialog")).to_contain_text("Is that right?")
    page.get_by_role("button", name="No, go back").click()
    expect(card).to_contain_text("Stands")
    card.get_by_role("button", name="Withdraw it").click()
    page.get_by_role("button", name="Yes, withdraw it").click()
    stands = page.get_by_role("region", name="What stands now")
    expect(stands).to_contain_text("Do not use")
    expect(card).to_contain_text("Withdrawn as a mistake")
    expect(page.get_by_role("region", name=re.compile("Plug or socket warmer"))).to_contain_text("Stands")

    page = member.open("/outlets")
    expect(page.get_by_role("region", name="Reported and not lifted")).not_to_contain_text("Scorched")
    page.get_by_role("link", name="What was reported").click()
    told = page.get_by_role("region", name=re.compile("Scorched"))
    expect(told).to_contain_text("the shadow of the bracket")
    photo = told.get_by_role("img", name="Photo of what was taken for the sign")
    assert photo.evaluate("image => image.decode().then(() => image.naturalWidth)") == 40
    assert member.complaints == [] and officer.complaints == []


def test_a_decision_makes_an_answer_stricter_at_once_and_ends(visit: Visit) -> None:
    officer = visit(ADMINISTRATOR, **PHONE)
    page = officer.open(f"/households/{_home_id(officer, STRICTER)}/safety")
    page.get_by_role("link", name="Decisions").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(STRICTER)
    page.get_by_role("button", name="Make an answer stricter").click()
    form = page.get_by_role("form", name="Make an answer stricter")
    expect(form.get_by_role("button", name="Make it stricter")).to_be_disabled()
    form.get_by_text("Do not use", exact=True).click()
    form.get_by_label("Why").fill("The same socket scorched next door")
    form.get_by_role("button", name="Make it stricter").click()
    expect(page.get_by_role("dialog")).to_contain_text("It acts at once")
    page.get_by_role("dialog").get_by_role("button", name="Make it stricter").click()
    made = page.get_by_role("region", name=re.compile("made stricter"))
    expect(made).to_contain_text("At best: do not use")
    expect(made).to_contain_text("In force")

    member = visit(STRICTER_MEMBER, **PHONE)
    seen = member.open("/outlets")
    expect(seen.locator("main")).to_contain_text("The same socket scorched next door")
    assert "do_not_use" in _words(member)
    assert _await_notice(member)

    made.get_by_role("button", name="End this decision").click()
    page.get_by_role("dialog").get_by_role("button", name="End it").click()
    expect(made).to_contain_text("Ended")
    expect(made.get_by_role("button")).to_have_count(0)
    assert "do_not_use" not in _words(member)
    assert officer.complaints == [] and member.complaints == []


def test_a_due_date_is_put_off_to_a_booked_visit_once(visit: Visit) -> None:
    officer = visit(ADMINISTRATOR, **PHONE)
    officer.open("/visits")
    home_id = _home_id(officer, PUT_OFF)
    page = officer.open(f"/households/{home_id}/overrides")
    _open_extension(officer, page)
    expect(page.locator("main")).to_contain_text("No visit to this outlet has a day agreed")
    home = officer.read(f"/households/{home_id}")
    due_on = date.fromisoformat(next(one["next_due_on"] for one in home["inspections"] if one["accepted_at"]))
    agree_visit(officer, PUT_OFF, days_ahead=2)

    page = officer.open(f"/households/{home_id}/overrides")
    form = _open_extension(officer, page)
    new_due_on = form.get_by_label("New due date")
    assert new_due_on.get_attribute("max") == (due_on + timedelta(days=14)).isoformat()
    new_due_on.fill((due_on + timedelta(days=10)).isoformat())
    form.get_by_label("Why").fill("The electrician is ill until then")
    _send_extension(page)
    expect(page.get_by_role("region", name=re.compile("due date put off"))).to_contain_text("is put off to")

    form = _open_extension(officer, page)
    form.get_by_label("New due date").fill((due_on + timedelta(days=12)).isoformat())
    form.get_by_label("Why").fill("Once more")
    _send_extension(page)
    expect(page.get_by_role("alert")).to_contain_text("moves only once")


def test_an_administrator_of_another_duty_reads_decisions_and_makes_none(visit: Visit) -> None:
    officer = visit(ADMINISTRATOR)
    officer.open("/safety")
    home_id = _home_id(officer, STRICTER)

    def without_duty(route: Any) -> None:
        reply = route.fetch()
        body = reply.json()
        route.fulfill(response=reply, json={**body, "roles": ["administrator"]})

    officer.page.route(re.compile("/api/v1/session$"), without_duty)
    page = officer.open(f"/households/{home_id}/overrides")
    expect(page.locator("main")).to_contain_text("Only a safety officer makes or ends a decision")
    expect(page.get_by_role("button", name="Make an answer stricter")).to_have_count(0)


def _report(page: Page, sign: str) -> None:
    page.get_by_role("button", name=sign).click()
    page.get_by_role("button", name="Yes, that is right").click()
    expect(page.get_by_text("Your report is recorded")).to_be_visible()
    page.get_by_role("button", name="I have read this").click()


def _open_extension(officer: Visitor, page: Page) -> Any:
    page.get_by_role("button", name="Put a due date off").click()
    officer.settle()
    form = page.get_by_role("form", name="Put a due date off")
    form.wait_for()
    return form


def _send_extension(page: Page) -> None:
    page.get_by_role("button", name="Put it off").click()
    page.get_by_role("dialog").get_by_role("button", name="Put it off").click()


def _home_id(officer: Visitor, reference: str) -> str:
    if officer.page.url == "about:blank":
        officer.open("/safety")
    rows = officer.read("/safety_desk?page_size=200")["items"]
    return str(next(row["id"] for row in rows if row["reference"] == reference))


def _words(member: Visitor) -> list[str]:
    home = member.read("/session")["household_id"]
    return [one["clearance"] for one in member.read(f"/households/{home}")["clearances"]]


def _await_notice(member: Visitor) -> bool:
    """Wait until the member has been told, by a notice in the app."""
    for _ in range(60):
        if any("scorched next door" in notice["text"] for notice in member.read("/notices?unread=true")["items"]):
            return True
        member.page.wait_for_timeout(250)
    return False


def _photo() -> Any:
    picture = io.BytesIO()
    Image.new("RGB", (40, 30), "white").save(picture, "PNG")
    return {"name": f"{uuid.uuid4().hex}.png", "mimeType": "image/png", "buffer": picture.getvalue()}
