"""Signing in and getting about: by keyboard alone, to pages that are not there, through lists kept in the address."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.visitor import ADMINISTRATOR, MEMBER_WHOSE_TIMES_MOVE

pytestmark = pytest.mark.browser

MEMBER_BY_KEYBOARD = "ffion.llanwedd@marlpit.example"  # H-30
STOPS_MAX = 40


def _tab_to(page: Page, name: str) -> None:
    """Press Tab until the control with this name has the focus; every stop on the way shows that it has it."""
    for _ in range(STOPS_MAX):
        page.keyboard.press("Tab")
        focused = page.locator(":focus")
        if not focused.count():
            continue
        marks = focused.evaluate(
            "element => { const style = getComputedStyle(element);"
            " return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 }"
        )
        label = _name_of(page)
        assert marks, f"nothing shows that {label!r} has the focus"
        if label == name:
            return
    raise AssertionError(f"Tab never reached {name!r}")


def _name_of(page: Page) -> str:
    return str(
        page.locator(":focus").evaluate("element => (element.labels?.[0] ?? element).innerText.split('\\n')[0].trim()")
    )


def test_signing_in_and_going_to_the_week_needs_no_mouse(visit: Visit) -> None:
    visitor = visit()
    page = visitor.open("/sign-in")
    page.keyboard.press("Tab")
    assert _name_of(page) == "Skip to the content"
    _tab_to(page, "E-mail address")
    page.keyboard.type(MEMBER_BY_KEYBOARD)
    _tab_to(page, "Password")
    page.keyboard.type(visitor.demo.password)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/today$"))
    visitor.settle()
    _tab_to(page, "Week")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/week$"))
    visitor.settle()
    expect(page.get_by_role("heading", level=1, name="The week")).to_be_focused()


def test_the_skip_link_leads_past_the_navigation(visit: Visit) -> None:
    page = visit(MEMBER_WHOSE_TIMES_MOVE).open("/today")
    _tab_to(page, "Skip to the content")
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    page.keyboard.press("Tab")
    assert page.locator(":focus").evaluate("element => document.querySelector('main').contains(element)")


def test_the_wrong_password_is_told_without_saying_which_of_the_two_is_wrong(visit: Visit) -> None:
    visitor = visit()
    page = visitor.open("/sign-in")
    page.get_by_label("E-mail address").fill(MEMBER_WHOSE_TIMES_MOVE)
    page.get_by_label("Password").fill("not this one")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_contain_text("do not belong together")
    expect(page.get_by_label("E-mail address")).to_have_value(MEMBER_WHOSE_TIMES_MOVE)


def test_a_page_asked_for_before_signing_in_is_opened_after_it(visit: Visit) -> None:
    visitor = visit()
    page = visitor.open("/outlets")
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    page.get_by_label("E-mail address").fill(MEMBER_BY_KEYBOARD)
    page.get_by_label("Password").fill(visitor.demo.password)
    page.get_by_role("button", name="Sign in").click()
    expect(page).to_have_url(re.compile("/outlets$"))


def test_an_address_where_nothing_is_says_so_and_leads_back(visit: Visit) -> None:
    visitor = visit(MEMBER_WHOSE_TIMES_MOVE)
    page = visitor.open("/nowhere/at/all")
    expect(page.get_by_role("heading", level=1)).to_have_text("No such page")
    page.get_by_role("link", name="Go to the first page").click()
    expect(page).to_have_url(re.compile("/today$"))


def test_a_member_who_opens_an_administrators_page_lands_on_their_own(visit: Visit) -> None:
    page = visit(MEMBER_WHOSE_TIMES_MOVE).open("/households")
    expect(page).to_have_url(re.compile("/today$"))
    expect(page.get_by_role("link", name="Households")).to_have_count(0)


def test_search_filter_and_sort_stand_in_the_address_and_survive_a_reload(visit: Visit) -> None:
    visitor = visit(ADMINISTRATOR)
    page = visitor.open("/households")
    rows = page.get_by_role("region", name="Table of homes").locator("tbody tr")
    expect(rows).to_have_count(40)
    page.get_by_label("Clearance").select_option(label="Do not use")
    # Two of the seed, and what other tests of this demo have stopped since.
    stopped = visitor.read("/households?clearance=do_not_use")["total"]
    assert 2 <= stopped < 40
    expect(rows).to_have_count(stopped)
    assert all("Do not use" in row for row in rows.all_inner_texts())
    page.get_by_label("Reference or name").fill("Asantori")
    expect(rows).to_have_count(1)
    expect(rows).to_contain_text("H-03")
    page.reload()
    expect(rows).to_have_count(1)
    expect(page.get_by_label("Reference or name")).to_have_value("Asantori")
    page.get_by_label("Reference or name").fill("nobody of this name")
    expect(page.get_by_text("No home matches these filters")).to_be_visible()
    page.get_by_role("link", name="Show all homes").click()
    expect(rows).to_have_count(40)


def test_signing_out_ends_the_session_and_the_way_back_shows_nothing(visit: Visit) -> None:
    visitor = visit()
    page = visitor.sign_in(MEMBER_BY_KEYBOARD)
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    visitor.open("/today")
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    assert visitor.read("/session")["status"] == 401
