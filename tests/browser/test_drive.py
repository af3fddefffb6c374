"""A member draws the drive on a phone by tapping, and another time with the keyboard alone, and finds the place."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.looks import look_at

pytestmark = pytest.mark.browser

MEMBER_WHO_DRAWS = "mei.ling.zhaofen@marlpit.example"  # H-18: no other test's home
PHONE = {"width": 360, "height": 780}
FRONT_WALL = ((1, 2), (9, 2))
SCREEN_OF = """(board, at) => {
  const to = board.getScreenCTM();
  return [at[0] * to.a + to.e, at[1] * to.d + to.f];
}"""


def tap(page: Page, x_m: float, y_m: float) -> None:
    """Tap the sheet where a point of the drive is."""
    board = page.get_by_role("application")
    board.scroll_into_view_if_needed()
    page.mouse.click(*board.evaluate(SCREEN_OF, [x_m, y_m]))


def draw(page: Page, tool: str, *taps: tuple[float, float]) -> None:
    """Choose a thing and tap its points."""
    page.get_by_label("Draw", exact=True).select_option(label=tool)
    for at in taps:
        tap(page, *at)


def walk(page: Page, across: int, down: int) -> None:
    """Move the keyboard's cursor by whole metres, and place."""
    for key, count in (("ArrowRight", across), ("ArrowLeft", -across), ("ArrowDown", down), ("ArrowUp", -down)):
        for _ in range(max(count, 0)):
            page.keyboard.press(f"Shift+{key}")
    page.keyboard.press("Enter")


def begin(page: Page) -> None:
    """Begin a fresh drawing where one is kept already."""
    expect(page.get_by_role("heading", name="Kept drawings")).to_be_visible()
    expect(page.get_by_role("application")).to_be_visible()


def test_a_drive_is_drawn_by_tapping_and_the_place_found(visit: Visit) -> None:
    member = visit(MEMBER_WHO_DRAWS, **PHONE)
    page = member.open("/drive")
    begin(page)
    page.get_by_label(re.compile("^Charging port of")).select_option("front_left")
    expect(page.get_by_text("charging port saved")).to_be_visible()

    draw(page, "Wall", *FRONT_WALL)
    draw(page, "Place for a car", (6, 8.5), (6, 3.5))
    draw(page, "Path", (2, 3), (3, 9))
    draw(page, "Door", (2, 2), (3, 2))
    draw(page, "Gas meter", (8, 2))
    draw(page, "Consumer unit", (1.5, 2))
    draw(page, "Public footway", (0, 9.5), (14, 11))
    expect(page.get_by_text("What is drawn (7)")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("What is drawn (6)")).to_be_visible()

    page.get_by_text("Name, sizes, height and cable").click()
    page.get_by_label("Reckon with a cable of").fill("5")
    page.get_by_role("button", name="Find the place").click()
    expect(page.get_by_role("heading", name="The place")).to_be_focused()
    expect(page.locator(".drive-summary")).to_contain_text("reaches the car one way round only")
    row = page.get_by_role("region", name="Reach of each car").get_by_role("row")
    expect(row.filter(has_text="Nose in")).to_contain_text("Reaches")
    expect(row.filter(has_text="Nose out")).to_contain_text("Does not reach")
    expect(page.locator(".drive-best")).to_be_visible()
    expect(page.get_by_text("nearer than 1 m to a gas meter").first).to_be_visible()
    look = look_at(page, **PHONE)
    assert look.too_wide == ()
    assert look.overlaps == ()

    page.get_by_label("Reckon with a cable of").fill("12")
    expect(page.get_by_text("The drawing has changed since the place was found")).to_be_visible()
    page.get_by_role("button", name="Find the place").click()
    expect(page.locator(".drive-summary")).to_contain_text("reaches the car, nose in and nose out")
    page.get_by_text("How this comes about").click()
    expect(page.locator(".working-what").filter(has_text="Ranking")).to_be_visible()
    page.emulate_media(media="print")
    expect(page.get_by_role("button", name="Find the place")).to_be_hidden()
    expect(page.locator(".drive-picture")).to_be_visible()
    page.emulate_media(media="screen")
    with page.expect_popup() as opened:
        page.get_by_role("link", name="The drawing alone, for paper").click()
    expect(opened.value.locator("svg text").filter(has_text="consumer unit")).to_be_visible()
    opened.value.close()
    assert member.complaints == []


def test_without_pointing_a_drive_is_drawn_with_keys_and_numbers(visit: Visit) -> None:
    member = visit(MEMBER_WHO_DRAWS)
    page = member.open("/drive")
    begin(page)
    again = page.get_by_role("button", name="Begin another drawing")
    if again.is_visible():
        again.focus()
        page.keyboard.press("Enter")
    expect(page.get_by_text("What is drawn (0)")).to_be_visible()
    board = page.get_by_role("application")
    board.focus()
    walk(page, -5, -4)  # the cursor begins in the middle, at 7, 6
    expect(page.get_by_text("Begun at 2, 2.")).to_be_attached()
    walk(page, 8, 0)
    expect(page.get_by_text("What is drawn (1)")).to_be_visible()
    tools = page.get_by_label("Draw", exact=True)
    tools.focus()
    tools.select_option("place")
    board.focus()
    walk(page, -4, 6)
    walk(page, 0, -5)
    expect(page.get_by_text("What is drawn (2)")).to_be_visible()

    page.get_by_text("What is drawn (2)").focus()
    page.keyboard.press("Enter")
    page.get_by_text("Change Wall 1").focus()
    page.keyboard.press("Enter")
    page.get_by_label("End, from the left").fill("11.3")
    expect(page.get_by_text("to 11.3 m from the left, 2 m from the top")).to_be_visible()
    page.get_by_text("Name, sizes, height and cable").focus()
    page.keyboard.press("Enter")
    page.get_by_label("Name of the drawing").fill("By keys")
    page.get_by_label("Reckon with a cable of").fill("10")
    page.get_by_role("button", name="Find the place").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="The place")).to_be_focused()
    expect(page.locator(".drive-summary")).to_contain_text("From here the cable reaches")
    page.get_by_role("button", name="Delete By keys").click()
    page.get_by_role("dialog").get_by_role("button", name="Delete").click()
    expect(page.get_by_role("button", name="Open By keys")).to_have_count(0)
    assert member.complaints == []
