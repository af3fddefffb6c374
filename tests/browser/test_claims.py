"""Business miles from a phone to payroll: trips, a claim sent, asked about, approved; a month of 300 at a desk."""

from __future__ import annotations

import csv
import io
import re
import time
from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from tests.browser.conftest import Visit
from tests.browser.demo import Demo
from tests.browser.looks import look_at
from tests.browser.visitor import FINANCE
from tests.factories.claim_months import MILES_A_TRIP, TRIPS_EACH, ClaimMonth, make_claim_month

pytestmark = pytest.mark.browser

CLAIMING_HOME, CLAIMING_MEMBER = "H-33", "pavel.drahovnik@marlpit.example"  # no other test looks at this home
PHONE = {"width": 360, "height": 780}
MANY = 300
PLACES = ("Great Cawder office", "Saltmarsh depot")


def test_trips_are_entered_on_a_phone_claimed_asked_about_and_paid(visit: Visit) -> None:
    member, finance = visit(CLAIMING_MEMBER, **PHONE), visit(FINANCE)
    page = member.open("/miles")
    _say_whose_car(page)
    _enter_trip(page, miles="46.5")
    page.get_by_role("button", name=f"Back: {PLACES[1]} to {PLACES[0]}").click()
    page.get_by_role("button", name="Add the trip").click()
    expect(page.get_by_text("2 trips, 93 miles.")).to_be_visible()

    due = _pounds(Decimal(93) * _rate_pence())
    region = page.get_by_role("region", name=re.compile("^What .+ comes to$"))
    expect(region.locator(".facts")).to_contain_text(due)
    region.locator("summary", has_text="Working").first.click()
    expect(region.locator(".working-step").first).to_be_visible()
    expect(region).to_contain_text(re.compile("not tax advice", re.IGNORECASE))
    look = look_at(page, **PHONE)
    assert (look.too_wide, look.overlaps) == ((), ())

    region.get_by_role("button", name="Send the claim").click()
    asked = page.get_by_role("dialog")
    expect(asked).to_contain_text(due)
    asked.get_by_role("button", name="Send the claim").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Claim for")
    member.settle()
    expect(page.locator(".tag").first).to_have_text("Sent")
    claim_path = page.evaluate("location.pathname").replace("/miles/", "/claims/")

    desk = finance.open(claim_path)
    expect(desk.locator("main")).to_contain_text("Stock check")
    for place in PLACES:
        expect(desk.locator("main")).not_to_contain_text(place)
    desk.get_by_role("button", name="Ask about it").click()
    desk.get_by_label("Your question").fill("Which job was this for?")
    desk.get_by_role("button", name="Send the question").click()
    expect(desk.get_by_text("It waits for the member's answer")).to_be_visible()

    page = member.open("/miles")
    page.get_by_role("link", name=re.compile("claim: queried")).first.click()
    expect(page.get_by_text("Which job was this for?").first).to_be_visible()
    page.get_by_label("Your answer").fill("The autumn stock check.")
    page.get_by_role("button", name="Send the answer").click()
    expect(page.locator(".tag").first).to_have_text("Sent")
    paper = _paper(page)
    assert all(place in paper for place in PLACES)

    desk = finance.open(claim_path)
    expect(desk.get_by_text("The autumn stock check.")).to_be_visible()
    desk.get_by_role("button", name=f"Approve {due}").click()
    desk.get_by_role("dialog").get_by_role("button", name="Approve").click()
    expect(desk.locator("main .tag").first).to_have_text("Approved")
    assert (member.complaints, finance.complaints) == ([], [])


def test_a_list_of_trips_is_refused_by_line_and_column_and_then_taken_whole(visit: Visit) -> None:
    member = visit(CLAIMING_MEMBER, **PHONE)
    page = member.open("/miles")
    page.get_by_text("Bring a list of trips in").click()
    day = f"{datetime.now(UTC).date().replace(day=1).isoformat()},grey hatchback"
    lines = ["date,car,from,to,reason,miles", f"{day},Office,Mill,Audit,12.5", f"{day},Mill,Office,Audit,twelve"]
    page.get_by_label("The list").fill("\n".join(lines))
    page.get_by_role("button", name="Read the list").click()
    expect(page.get_by_text("Nothing was brought in: 1 fault")).to_be_visible()
    expect(page.get_by_role("alert")).to_contain_text(re.compile("Line 3.*twelve"))
    page.get_by_label("The list").fill("\n".join([*lines[:2], lines[2].replace("twelve", "12.5")]))
    page.get_by_role("button", name="Read the list").click()
    expect(page.get_by_text("2 trips read, 25 miles")).to_be_visible()
    page.get_by_role("button", name="Add 2 trips").click()
    expect(page.get_by_role("region", name=re.compile("^Trips of"))).to_contain_text("Office to Mill")
    assert member.complaints == []


def test_finance_reads_nothing_of_homes(visit: Visit) -> None:
    finance = visit(FINANCE)
    page = finance.open("/")
    expect(page).to_have_url(re.compile("/claims$"))
    links = page.get_by_role("navigation", name="Main").get_by_role("link").all_inner_texts()
    assert links == ["Claims", "Statements", "Figures"]
    finance.page.goto("/households")
    expect(page).to_have_url(re.compile("/claims$"))
    finance.settle()
    assert finance.complaints == []
    assert finance.read("/households")["status"] == 403


@pytest.fixture(scope="module")
def many(demo: Demo) -> ClaimMonth:
    """A scheme of its own beside the demo's, with a month of claims."""
    database = Database(Settings.from_environment({"DATA_DIR": str(demo.data_dir)}).database_url)
    quick = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    began = time.perf_counter()
    made = make_claim_month(database, "c" * 32, MANY, password=demo.password, hasher=quick, now=datetime.now(UTC))
    print(f"\n{MANY} members sent {MANY * TRIPS_EACH} trips: {time.perf_counter() - began:.1f} s")
    database.close()
    return made


def test_a_month_of_300_claims_is_approved_stated_and_exported(visit: Visit, many: ClaimMonth) -> None:
    finance = visit(many.finance_email)
    each = _rounded(Decimal(TRIPS_EACH) * MILES_A_TRIP * _rate_pence())
    total = _pounds(Decimal(each * MANY))

    page = _timed("the month opened", lambda: finance.open(f"/claims?month={many.month}&state=sent"))
    boxes = page.locator("input[data-row]")
    expect(boxes).to_have_count(MANY)
    boxes.first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    expect(boxes.nth(1)).to_be_focused()
    boxes.nth(4).click(modifiers=["Shift"])
    expect(page.get_by_text(f"5 claims chosen, {_pounds(Decimal(each * 5))}.")).to_be_visible()
    _timed("all chosen", lambda: _choose_all(page))

    page.get_by_role("button", name=f"Approve {MANY}").click()
    asked = page.get_by_role("dialog")
    expect(asked).to_contain_text(f"Approve {MANY} claims, {total}?")
    _timed("approved", lambda: _approve(page))
    expect(page.get_by_role("heading", name=f"{MANY} claims approved")).to_be_focused()

    page = finance.open("/statements")
    expect(page.get_by_text(f"{MANY} approved claims")).to_be_visible()
    page.get_by_label("Month").select_option(str(many.month))
    page.get_by_role("button", name="Make the statement").click()
    _timed("stated", lambda: _make_statement(page))
    finance.settle()
    expect(page.locator(".facts").first).to_contain_text(total)
    rows = _table(page)
    of_lines = [row for row in rows if row["Day"]]
    assert (len(of_lines), len({row["Name"] for row in of_lines})) == (MANY * TRIPS_EACH, MANY)
    assert sum(Decimal(row["Pounds"]) for row in of_lines) * 100 == each * MANY
    assert finance.complaints == []


def _say_whose_car(page: Page) -> None:
    asked = page.get_by_role("region", name=re.compile("^Whose car"))
    asked.get_by_text("My own car").click()
    asked.get_by_role("button", name="Save").click()
    expect(asked).to_have_count(0)


def _enter_trip(page: Page, *, miles: str) -> None:
    form = page.get_by_role("region", name="Add a business trip")
    form.get_by_label("Miles").fill(miles)
    form.get_by_label("From").fill(PLACES[0])
    form.get_by_label("To", exact=True).fill(PLACES[1])
    form.get_by_label("Reason").fill("Stock check")
    form.get_by_role("button", name="Add the trip").click()
    expect(page.get_by_text("1 trip, 46.5 miles.")).to_be_visible()


def _rate_pence() -> Decimal:
    """Return the approved rate of today for the first miles, as the shipped figures say it."""
    path = Path(__file__).parents[2] / "service" / "figures" / "shipped"
    rows = csv.DictReader(io.StringIO((path / "mileage_allowance.csv").read_text(encoding="utf-8")))
    rates = [row for row in rows if row["name"] == "mileage_allowance_first"]
    return Decimal(max(rates, key=lambda row: row["from_on"])["value"])


def _rounded(pence: Decimal) -> int:
    return int(pence.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def _pounds(pence: Decimal) -> str:
    return f"£{_rounded(pence) / Decimal(100):,.2f}"


def _paper(page: Page) -> str:
    with page.expect_download() as download:
        page.get_by_role("link", name="Get your copy as a PDF").click()
    sheets = PdfReader(io.BytesIO(Path(download.value.path()).read_bytes())).pages
    return " ".join(sheet.extract_text() for sheet in sheets)


def _timed(what: str, act: Any) -> Any:
    """Do something and print how long it took: told, never asserted."""
    began = time.perf_counter()
    found = act()
    print(f"{MANY} claims, {what}: {time.perf_counter() - began:.2f} s")
    return found


def _choose_all(page: Page) -> None:
    page.get_by_label("Choose all that can be approved").check()
    expect(page.get_by_text(f"{MANY} claims chosen")).to_be_visible()


def _approve(page: Page) -> None:
    page.get_by_role("dialog").get_by_role("button", name=f"Approve {MANY} claims").click()
    expect(page.get_by_role("heading", name=f"{MANY} claims approved")).to_be_visible()


def _make_statement(page: Page) -> None:
    page.get_by_role("dialog").get_by_role("button", name="Make the statement").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Statement for")


def _table(page: Page) -> list[dict[str, str]]:
    with page.expect_download() as download:
        page.get_by_role("link", name="Get it as CSV").click()
    text = Path(download.value.path()).read_bytes().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))
