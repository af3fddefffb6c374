"""The safety desk and the safety file at a desk: found, chosen, asked for, exported, and as at yesterday."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.browser.conftest import Visit
from tests.browser.visitor import ADMINISTRATOR, MEMBER_WHOSE_TIMES_MOVE, Visitor

pytestmark = pytest.mark.browser

HOME = "H-16"  # no other test looks at this home
REMINDED = "H-40"  # no check of its lead was ever made, and nobody was reminded today
ACT = """([path, body]) => fetch(`/api/v1${path}`, {
  method: "POST", body: JSON.stringify(body),
  headers: { "Content-Type": "application/json", "X-Requested-By": "plugward" },
}).then(reply => reply.status)"""


def home_of(administrator: Visitor, reference: str) -> dict[str, Any]:
    rows = administrator.read("/safety_desk?page_size=200")["items"]
    return next(row for row in rows if row["reference"] == reference)


def test_the_desk_finds_homes_by_what_their_evidence_says(visit: Visit) -> None:
    administrator = visit(ADMINISTRATOR)
    page = administrator.open("/safety")
    count = page.get_by_role("list", name="Homes by clearance").get_by_role("link", name="Not known")
    number = int(re.findall(r"\d+", count.inner_text())[0])
    count.click()
    expect(page).to_have_url(re.compile("clearance=not_known"))
    administrator.settle()
    rows = page.get_by_role("region", name="Table of homes").locator("tbody tr")
    expect(rows).to_have_count(number)
    for row in rows.all():
        expect(row.locator("td[data-name='Clearance']")).to_contain_text("Not known")
        expect(row.locator("td[data-name='Missing']")).not_to_have_text("Nothing")
    page.reload()
    administrator.settle()
    expect(page.get_by_label("Clearance", exact=True)).to_have_value("not_known")


def test_the_table_fits_a_desk(visit: Visit) -> None:
    page = visit(ADMINISTRATOR).open("/safety")
    box = page.get_by_role("region", name="Table of homes")
    assert box.evaluate("box => box.scrollWidth - box.clientWidth") <= 0


def test_arrow_keys_walk_the_rows_and_space_chooses(visit: Visit) -> None:
    page = visit(ADMINISTRATOR).open("/safety")
    boxes = page.locator("input[data-row]")
    boxes.first.focus()
    page.keyboard.press("ArrowDown")
    expect(boxes.nth(1)).to_be_focused()
    page.keyboard.press("Space")
    expect(boxes.nth(1)).to_be_checked()
    expect(page.get_by_text("1 home chosen.")).to_be_visible()


def test_visits_are_asked_for_after_a_question_that_names_their_number(visit: Visit) -> None:
    administrator = visit(ADMINISTRATOR)
    page = administrator.open("/safety?missing=inspection")
    row = page.locator("tbody tr", has=page.locator("td[data-name='Visit']", has_text="none")).first
    reference = row.get_by_role("rowheader").get_by_role("link").inner_text()
    row.get_by_role("checkbox").check()
    page.get_by_role("button", name="Ask for visits").click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("Ask for a visit to 1 home?")
    dialog.get_by_role("button", name="Cancel").click()
    assert home_of(administrator, reference)["visit"] is None
    page.get_by_role("button", name="Ask for visits").click()
    dialog.get_by_role("button", name="Ask for 1 home").click()
    expect(page.get_by_text("1 visit asked for.")).to_be_visible()
    expect(page.locator("tbody tr", has_text=reference).locator("td[data-name='Visit']")).to_contain_text("Asked")


def test_the_check_is_asked_for_by_mail_once_a_day_and_the_desk_says_of_whom(visit: Visit) -> None:
    administrator = visit(ADMINISTRATOR, width=360, height=780)
    page = administrator.open("/safety")
    stopped = next(row["reference"] for row in _rows(administrator) if row["clearance"] == "do_not_use")
    for reference in (REMINDED, stopped):
        page.get_by_label(f"Choose {reference}").check()
    page.get_by_role("button", name="Remind of the check").click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("Mail 2 homes to make the check now?")
    dialog.get_by_role("button", name="Cancel").click()
    assert _asked_mail(administrator) == []
    page.get_by_role("button", name="Remind of the check").click()
    dialog.get_by_role("button", name="Mail 2 homes").click()
    told = page.get_by_role("region", name="1 person mailed")
    expect(told.get_by_role("heading", name="1 person mailed")).to_be_focused()
    expect(told.get_by_role("listitem").filter(has_text=REMINDED)).to_have_count(1)
    expect(told.get_by_role("listitem").filter(has_text=stopped)).to_contain_text("nobody is sent to touch it")
    assert [mail["household_reference"] for mail in _asked_mail(administrator)] == [REMINDED]

    page.get_by_label(f"Choose {REMINDED}").check()
    page.get_by_role("button", name="Remind of the check").click()
    dialog.get_by_role("button", name="Mail 1 home").click()
    again = page.get_by_role("region", name="Nobody was mailed")
    expect(again).to_contain_text("mailed about rechecks today already")
    assert len(_asked_mail(administrator)) == 1
    assert administrator.complaints == []


def _rows(administrator: Visitor) -> list[dict[str, Any]]:
    return administrator.read("/safety_desk?page_size=200")["items"]


def _asked_mail(administrator: Visitor) -> list[dict[str, Any]]:
    return administrator.read("/mail?kind=check_asked")["items"]


def test_the_export_holds_what_the_filters_let_through(visit: Visit) -> None:
    administrator = visit(ADMINISTRATOR)
    page = administrator.open("/safety?clearance=do_not_use")
    with page.expect_download() as download:
        page.get_by_role("link", name=re.compile("as CSV")).click()
    text = Path(download.value.path()).read_bytes().decode("utf-8-sig")
    shown = page.locator("tbody th a").all_inner_texts()
    assert [row["Home"] for row in csv.DictReader(io.StringIO(text))] == shown


@pytest.mark.parametrize("width", [1280, 360])
def test_the_safety_file_as_at_yesterday_knows_nothing_of_today(visit: Visit, width: int) -> None:
    administrator = visit(ADMINISTRATOR, width=width)
    administrator.open("/safety")
    home_id = home_of(administrator, HOME)["id"]
    outlet = administrator.read(f"/households/{home_id}")["outlets"][0]
    report = {"sign": "scorch", "outlet_id": outlet["id"], "lead_id": None, "seen_at": None, "note": "brown at a pin"}
    assert administrator.page.evaluate(ACT, [f"/households/{home_id}/incidents", report]) == 201

    page = administrator.open(f"/households/{home_id}/safety")
    expect(page.get_by_role("region", name="Reported")).to_contain_text("brown at a pin")
    expect(_answer(page)).to_have_text("do not use")
    page.get_by_role("button", name="Yesterday").click()
    expect(page.get_by_text("what came in later is left out")).to_be_visible()
    expect(page.get_by_text("Nothing had been reported.")).to_be_visible()
    expect(page.locator("main")).not_to_contain_text("brown at a pin")
    expect(_answer(page)).not_to_have_text("do not use")
    as_at = re.findall(r"As at (.+? [A-Z]{3}):", page.locator(".file-instant").inner_text())[0]
    first = _paper(page)
    assert as_at in first.pages[0].extract_text()
    assert "brown at a pin" not in " ".join(sheet.extract_text() for sheet in first.pages)
    page.reload()
    administrator.settle()
    expect(page.get_by_text("Nothing had been reported.")).to_be_visible()


def _answer(page: Page) -> Any:
    return page.get_by_role("region", name="Answers").first.locator("tbody tr").first.locator("[data-name='Clearance']")


def _paper(page: Page) -> PdfReader:
    with page.expect_download() as download:
        page.get_by_role("link", name="Get it as a PDF").click()
    return PdfReader(io.BytesIO(Path(download.value.path()).read_bytes()))


def test_a_member_reads_their_own_file_and_prints_it(visit: Visit) -> None:
    member = visit(MEMBER_WHOSE_TIMES_MOVE, width=360, height=780)
    page = member.open("/outlets")
    page.get_by_role("link", name="Your home's safety file").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Safety file of")
    member.settle()
    for title in ("Clearance at this instant", "What was shown to whom", "What this file cannot show"):
        expect(page.get_by_role("heading", name=title)).to_be_visible()
    page.emulate_media(media="print")
    expect(page.get_by_role("button", name="Yesterday")).to_be_hidden()
    expect(page.get_by_role("heading", name="Inspections", exact=True)).to_be_visible()
    assert member.complaints == []
