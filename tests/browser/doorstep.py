"""What an electrician does at a doorstep, step by step, for the tests that walk through it."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.conftest import Visit
from tests.browser.inspection_links import MadeLink, today
from tests.browser.visitor import Visitor

PHONE_PX = 360
CERTIFICATE = Path(__file__).parents[2] / "frontend" / "tests" / "pictures" / "week.png"
YES_GROUPS = ("Does the socket", "Was the accessory", "Were all terminals", "Was polarity", "Has this outlet an RCD")


def open_link(visit: Visit, link: MadeLink) -> tuple[Visitor, Page]:
    """Open a link on a telephone, as whoever holds it does."""
    visitor = visit(width=PHONE_PX, height=760)
    page = visitor.open(link.path)
    page.get_by_role("heading", name="Homes to inspect").wait_for()
    return visitor, page


def open_home(page: Page) -> None:
    """Open the link's one home, say who inspects, and go to the first step."""
    page.get_by_role("link", name="Open home").click()
    page.get_by_label("Your name").fill("Fennimore Gale")
    page.get_by_role("link", name=re.compile("^(Start|Go on) with")).first.click()
    page.get_by_role("heading", name="Certificate", exact=True).wait_for()


def next_step(page: Page, heading: str) -> None:
    """Go on to the step with this heading."""
    page.get_by_role("link", name="Next:").click()
    page.get_by_role("heading", name=heading, exact=True).wait_for()


def fill_certificate(page: Page, number: str) -> None:
    """Fill the certificate's step: of today, due again in five years."""
    page.get_by_label("Kind of certificate").select_option("eicr")
    page.get_by_label("Its number").fill(number)
    page.get_by_label("Date of the inspection").fill(today().isoformat())
    page.get_by_label("Next inspection due on").fill(today().replace(year=today().year + 5, day=1).isoformat())


def fill_answers(page: Page) -> None:
    """Fill what the circuit is and what was found; all of it good."""
    next_step(page, "Outlet and circuit")
    page.get_by_role("group", name="Were this outlet").get_by_label("Yes").check()
    page.get_by_role("group", name="Did you know").get_by_label("Yes").check()
    page.get_by_label("Device at the head").select_option("mcb_b")
    page.get_by_label("Its rating").fill("20")
    page.get_by_role("group", name="Is the outlet on a ring").get_by_label("No", exact=True).check()
    page.get_by_role("group", name="Earthing").get_by_label("TN-S").check()
    next_step(page, "What you found")
    for name in YES_GROUPS:
        group = page.get_by_role("group", name=name)
        if group.count():
            group.get_by_label("Yes").check()
    page.get_by_label("Type of that RCD").select_option("a")
    page.get_by_label("Its rated residual current").fill("30")
    page.get_by_role("group", name="Where does the car stand").get_by_label("Indoors").check()


def fill_readings(page: Page) -> None:
    """Fill the readings, one of them left out with its reason."""
    next_step(page, "Readings")
    page.get_by_label("Earth fault loop impedance Zs").fill("0.61")
    page.get_by_role("group", name="How Zs is given").get_by_label("As read").check()
    page.get_by_role("button", name="Not tested, because… (External").click()
    expect(page.get_by_label("External loop impedance Ze: not tested, because")).to_be_focused()
    page.keyboard.type("the cut-out is sealed")
    page.get_by_label("R1 + R2").fill("0.42")
    page.get_by_label("Insulation resistance").fill("200")
    page.get_by_label("Trip time of the RCD").fill("28")
