"""The member's check on a telephone: a bad answer stops charging at once, a clear one lets it go on."""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.visitor import Visitor

pytestmark = pytest.mark.browser

PHONE = {"width": 360, "height": 780}
ADMINISTRATOR = "administrator@marlpit.example"
STOPPING_MEMBER = "wanjiru.kamathiru@marlpit.example"  # H-34
OVERDUE_MEMBER = "orla.mcglenaghy@marlpit.example"  # H-31, Northern Ireland: only the check is overdue
CHARGING_MEMBER = "imani.brightmoor@marlpit.example"  # H-35
PHOTOGRAPHING_MEMBER = "aroha.te.wharenui@marlpit.example"  # H-24
SECONDS = 15_000


def blocks(member: Visitor) -> list[object]:
    """Return the charging times of the member's plan."""
    home = member.read("/session")["household_id"]
    plan = member.read(f"/households/{home}/plan")
    return [block for car in plan["vehicles"] for stay in car["stays"] for block in stay["blocks"]]


def start(page: Page) -> None:
    page.get_by_role("button", name="Start the check").click()
    expect(page.get_by_text("Question 1 of 12")).to_be_visible()


def answer(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).click()


def test_a_bad_answer_shows_what_to_do_and_empties_the_plan(visit: Visit) -> None:
    member = visit(STOPPING_MEMBER, **PHONE)
    page = member.open("/check")
    assert blocks(member), "this home charges before"
    feed = _plan_feed(member)
    assert "BEGIN:VEVENT" in _text(member, feed), "its calendar says so too"
    start(page)
    answer(page, "No")
    expect(page.get_by_role("heading", name="is anything scorched")).to_be_focused()
    answer(page, "Yes")
    expect(page.get_by_role("dialog")).to_contain_text("Is that right?")
    answer(page, "No, go back")
    expect(page.get_by_role("heading", name="is anything scorched")).to_be_visible()
    answer(page, "Yes")
    answer(page, "Yes, that is right")
    now = page.get_by_role("region", name="Do this now")
    expect(now.get_by_role("listitem").first).to_have_text("End the charge at the car.")
    expect(now.get_by_role("link", name="999")).to_have_attribute("href", "tel:999")
    expect(page.get_by_text("Your report is recorded")).to_be_visible()
    box = now.bounding_box()
    assert box is not None and box["y"] < 200, "first on the screen"
    expect(page.get_by_role("region", name="What is stopped")).to_contain_text("garage socket")
    expect(page.get_by_role("region", name="What lifts it")).to_contain_text("an electrician's inspection")
    expect(page.get_by_role("region", name="Who is told")).to_contain_text("Every driver")
    _shown_first_after_a_reload(page)
    assert "BEGIN:VEVENT" not in _text(member, feed)
    _await_no_blocks(member)
    _await_administrators_notice(visit)
    member.context.set_offline(True)
    page.get_by_role("link", name="what to do now").click()
    expect(page.get_by_role("heading", name="What to do now")).to_be_visible()
    expect(page.get_by_role("region", name="Do this now")).to_contain_text("Touch nothing that is hot")
    member.context.set_offline(False)
    page = member.open("/today")
    expect(page.get_by_role("region", name="Tonight's answer")).to_contain_text(
        re.compile("Charging is stopped|Do not charge at the garage socket")
    )
    expect(page.get_by_text(re.compile(r"^\d\d:\d\d to \d\d:\d\d$"))).to_have_count(0)
    page = member.open("/outlets")
    expect(page.get_by_role("region", name="garage socket")).to_contain_text("Do not use")
    expect(page.get_by_role("region", name="Reported and not lifted")).to_contain_text("Scorched")
    by_design = ("DISCONNECTED", "ERR_FAILED")  # without a connection, and where the service answers nothing
    assert [complaint for complaint in member.complaints if not any(words in complaint for words in by_design)] == []


def _shown_first_after_a_reload(page: Page) -> None:
    """Reload where the service answers nothing, then where it does, until somebody says that they read the answer."""
    now = page.get_by_role("region", name="Do this now")
    page.route("**/api/v1/**", lambda route: route.abort())
    page.reload()
    expect(now).to_contain_text("End the charge at the car.")
    expect(page.get_by_role("alert")).to_contain_text("could not be reached")
    page.unroute_all()
    page.reload()
    expect(now).to_contain_text("End the charge at the car.")
    page.get_by_role("button", name="I have read this").click()
    expect(page.get_by_text("Noted that you have read it")).to_be_visible()


def _plan_feed(member: Visitor) -> str:
    """Make a calendar of the plan and return its secret address, as a path."""
    made = member.page.evaluate(
        """() => fetch("/api/v1/feeds", {method: "POST", body: JSON.stringify({kind: "plan"}), headers:
           {"Content-Type": "application/json", "X-Requested-By": "plugward", "Idempotency-Key": crypto.randomUUID()}})
           .then(reply => reply.json())"""
    )
    return str(made["url"][made["url"].index("/api/v1/") :])


def _text(member: Visitor, path: str) -> str:
    return str(member.page.evaluate("path => fetch(path).then(reply => reply.text())", path))


def _await_administrators_notice(visit: Visit) -> None:
    """Wait until the administrator has been told, by a notice in the app."""
    administrator = visit(ADMINISTRATOR)
    administrator.open("/notices")
    for _ in range(SECONDS // 500):
        told = administrator.read("/notices?unread=true")["items"]
        if any("H-34" in notice["subject"] + notice["text"] for notice in told):
            return
        administrator.page.wait_for_timeout(500)
    raise AssertionError("nobody told the administrator")


def _await_no_blocks(member: Visitor) -> None:
    """Wait until the plan holds no charging time; at once it is said to be stopped."""
    home = member.read("/session")["household_id"]
    assert member.read(f"/households/{home}/plan")["is_stopped"] or not blocks(member)
    for _ in range(SECONDS // 250):
        if not blocks(member):
            return
        member.page.wait_for_timeout(250)
    raise AssertionError("the plan still charges from a stopped socket")


def test_an_overdue_check_is_the_next_step_and_lets_the_socket_be_used_again(visit: Visit) -> None:
    member = visit(OVERDUE_MEMBER, **PHONE)
    page = member.open("/outlets")
    socket = page.get_by_role("region", name="garage socket")
    expect(socket).to_contain_text("Not known")
    socket.get_by_role("link", name="Do the check").click()
    start(page)
    while page.locator(".answers").count():
        page.locator(".answers .answer").first.click()
    answer(page, "Save the check")
    expect(page.get_by_role("heading", name="Recorded: no sign")).to_be_focused()
    page.get_by_role("region", name="Recorded: no sign").get_by_role("link", name="Is it safe to use?").click()
    expect(page.get_by_role("region", name="garage socket")).to_contain_text(re.compile("Fit to use|Use with limits"))
    expect(page.get_by_role("region", name=re.compile("^portable lead"))).to_contain_text("Use with limits")
    assert member.complaints == []


def test_the_first_charge_says_when_to_feel_survives_a_reload_and_takes_heat_at_once(visit: Visit) -> None:
    member = visit(CHARGING_MEMBER, **PHONE)
    page = member.open("/first-charge")
    page.get_by_role("button", name="The charge is running: start the clock").click()
    expect(page.get_by_role("heading", name="Under way")).to_be_visible()
    page = member.open("/first-charge")
    waiting = page.get_by_role("button", name=re.compile(r"^From \d\d:\d\d, in "))
    expect(waiting).to_have_count(2)
    expect(waiting.first).to_be_disabled()
    page.get_by_role("button", name="It is warm or hot now").click()
    page.get_by_role("button", name=re.compile("^Warmer than just noticeable")).click()
    answer(page, "Yes, that is right")
    expect(page.get_by_role("region", name="Do this now")).to_contain_text("End the charge at the car.")
    expect(page.get_by_text("Your report is recorded")).to_be_visible()
    _await_no_blocks(member)


def test_a_photo_shows_what_the_lead_is_set_to(visit: Visit) -> None:
    page = visit(PHOTOGRAPHING_MEMBER, **PHONE).open("/outlets")
    lead = page.get_by_role("region", name=re.compile("^portable lead"))
    lead.get_by_role("button", name="Photograph the setting").click()
    picture = io.BytesIO()
    Image.new("RGB", (40, 30), "white").save(picture, "PNG")
    lead.get_by_label("Photo of the setting").set_input_files(
        {"name": "setting.png", "mimeType": "image/png", "buffer": picture.getvalue()}
    )
    lead.get_by_text("8 A", exact=True).click()
    lead.get_by_role("button", name="Save the setting").click()
    expect(lead).to_contain_text("Set to 8 A, as a photo showed.")
