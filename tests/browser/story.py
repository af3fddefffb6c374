"""The main story through the pages: a draft is published, the homes are replanned, a member is told and sees it."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from playwright.sync_api import Browser, expect

from tests.browser.demo import Demo
from tests.browser.visitor import ADMINISTRATOR, MEMBER_WHOSE_TIMES_MOVE, Visitor

TARIFF = "Night saver (invented)"
DRAFT = "Cheap hours move to 02:30"
LETTER = "New charging times"
MAIL_WITHIN_S = 60
PROGRESS_WITHIN_MS = 120_000


@dataclass(frozen=True, order=True)
class ChargingTime:
    """One row of the member's table, in the home's local time."""

    on: date
    starts_at: str
    ends_at: str


@dataclass
class Told:
    """What the people in the story saw, and how long they waited."""

    valid_from_on: date
    before: list[ChargingTime] = field(default_factory=list)
    after: list[ChargingTime] = field(default_factory=list)
    preview: str = ""
    progress: list[str] = field(default_factory=list)
    replanned_s: float = 0.0
    mail_s: float = 0.0
    letter: str = ""
    complaints: list[str] = field(default_factory=list)


def play(browser: Browser, demo: Demo) -> Told:
    """Play the story on a fresh demo; it publishes the draft, so once is all a demo gives."""
    administrator, member = Visitor(browser, demo), Visitor(browser, demo, width=360, height=780)
    try:
        member.sign_in(MEMBER_WHOSE_TIMES_MOVE)
        administrator.sign_in(ADMINISTRATOR)
        told = _open_draft(administrator)
        told.before = charging_times(member, year_of=told.valid_from_on)
        _publish(administrator, told)
        _read_letter(administrator, told)
        told.after = charging_times(member, year_of=told.valid_from_on)
        told.complaints = [*administrator.complaints, *member.complaints]
        return told
    finally:
        administrator.close()
        member.close()


def charging_times(member: Visitor, *, year_of: date) -> list[ChargingTime]:
    """Return the rows of the member's table of the week; a day's year is the one that lies next to ``year_of``."""
    page = member.open("/week")
    rows = page.get_by_role("region", name="Table of charging times").locator("tbody tr").all()
    found = []
    for row in rows:
        starts_at, ends_at = row.locator("td[data-name='Charging time']").inner_text().split("\n")[-1].split(" to ")
        found.append(ChargingTime(_day(row.locator("th").inner_text(), year_of), starts_at, ends_at))
    return sorted(found)


def _day(text: str, near: date) -> date:
    """Read "Thu 26 Nov" as the day that lies nearest to another."""
    days = (datetime.strptime(f"{text} {near.year + years}", "%a %d %b %Y").date() for years in (-1, 0, 1))  # noqa: DTZ007
    return min(days, key=lambda day: abs(day - near) if day.strftime("%a") == text[:3] else timedelta.max)


def _open_draft(administrator: Visitor) -> Told:
    page = administrator.page
    page.get_by_role("navigation", name="Main").get_by_role("link", name="Tariffs").click()
    page.get_by_role("link", name=TARIFF).click()
    row = page.get_by_role("row").filter(has=page.get_by_role("link", name=DRAFT))
    expect(row).to_contain_text("Draft")
    valid_from = row.locator("td[data-name='Valid from']").inner_text()
    page.get_by_role("link", name=DRAFT).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(DRAFT)
    return Told(datetime.strptime(valid_from, "%d %B %Y").date())  # noqa: DTZ007


def _publish(administrator: Visitor, told: Told) -> None:
    """Look at the preview, publish, and watch the progress until it says that it has finished."""
    page = administrator.page
    page.get_by_role("button", name="See what would change").click()
    page.get_by_role("button", name="Work it out again").wait_for()
    told.preview = page.get_by_role("region", name="Before publishing").inner_text()
    page.get_by_role("button", name="Publish this version").click()
    page.get_by_role("dialog").get_by_role("button", name="Publish", exact=True).click()
    began = time.perf_counter()
    text = page.locator(".progress p")
    text.wait_for(timeout=PROGRESS_WITHIN_MS)
    ends = began + PROGRESS_WITHIN_MS / 1000
    while not (told.progress and told.progress[-1].startswith("Finished")) and time.perf_counter() < ends:
        words = text.inner_text()
        if [words] != told.progress[-1:]:
            told.progress.append(words)
        page.wait_for_timeout(50)
    told.replanned_s = time.perf_counter() - began


def _read_letter(administrator: Visitor, told: Told) -> None:
    """Open the demo's mail from the navigation and wait for the member's letter, as long as mail may take."""
    page = administrator.page
    began = time.perf_counter()
    page.get_by_role("link", name="Demo mail").click()
    item = page.get_by_role("listitem").filter(has_text=LETTER).filter(has_text=MEMBER_WHOSE_TIMES_MOVE)
    while item.count() == 0 and time.perf_counter() - began < MAIL_WITHIN_S:
        page.wait_for_timeout(300)
        page.reload()
    told.mail_s = time.perf_counter() - began
    item.get_by_role("link").first.click()
    told.letter = page.get_by_role("region", name="Text part").inner_text()
