"""An electrician at a doorstep: drafted without a signal, reloaded, submitted, dead afterwards; then accepted."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Visit
from tests.browser.doorstep import (
    CERTIFICATE,
    PHONE_PX,
    fill_answers,
    fill_certificate,
    fill_readings,
    next_step,
    open_home,
    open_link,
)
from tests.browser.inspection_links import agree_visit, make_link
from tests.browser.visitor import ADMINISTRATOR, MEMBER_WITHOUT_CLEARANCE, OFFICER, Visitor

pytestmark = pytest.mark.browser

DRAFTS = re.compile(r"/inspection_link/visits/\w+/draft$")


def test_the_secret_leaves_the_address_bar_and_only_the_window_keeps_it(visit: Visit) -> None:
    link = make_link(visit(ADMINISTRATOR), agree_visit(_at_home(visit), "H-21"))
    visitor, page = open_link(visit, link)
    assert page.url == f"{visitor.demo.base_url}/inspect"
    assert page.evaluate("sessionStorage.getItem('plugward-inspection-link')") == link.secret
    assert page.evaluate("Object.values(localStorage).join()").find(link.secret) == -1
    page.reload()
    page.get_by_role("heading", name="Homes to inspect").wait_for()
    other = visit(width=PHONE_PX).open("/inspect")
    assert "needs the link from your e-mail" in other.locator("main").inner_text()


def test_a_home_shows_its_address_on_its_day_and_not_before(visit: Visit) -> None:
    administrator = _at_home(visit)
    visits = (agree_visit(administrator, "H-22"), agree_visit(administrator, "H-24", days_ahead=1))
    link = make_link(administrator, *visits)
    _, page = open_link(visit, link)
    cards = page.locator(".home-item")
    assert "The address shows on the day it opens." in cards.filter(has_text="H-24").inner_text()
    assert cards.filter(has_text="H-24").get_by_role("link").count() == 0
    assert "The address shows" not in cards.filter(has_text="H-22").inner_text()


def test_drafted_without_a_signal_reloaded_submitted_and_dead_afterwards(visit: Visit) -> None:
    administrator = _at_home(visit)
    link = make_link(administrator, agree_visit(administrator, "H-33"))
    number = f"R-{link.id[:8]}"
    visitor, page = open_link(visit, link)
    open_home(page)
    status = page.locator(".draft-status")
    expect(status).to_have_text(re.compile("Saved"))

    visitor.context.set_offline(True)
    fill_certificate(page, number)
    expect(status).to_have_text(re.compile("No signal: kept here, will be sent"))
    fill_answers(page)
    fill_readings(page)
    next_step(page, "Observations")
    next_step(page, "Limits on current")
    next_step(page, "Document")
    page.get_by_label("Choose a file").set_input_files(CERTIFICATE)
    expect(page.locator("main")).to_contain_text("kept on this phone, will be sent")

    # The signal is back only so far that the page loads: what was typed must come from the phone alone.
    page.route(DRAFTS, lambda route: route.abort())
    page.route(re.compile("/files"), lambda route: route.abort())
    visitor.context.set_offline(False)
    page.reload()
    expect(page.locator("main")).to_contain_text("kept on this phone, will be sent")
    page.get_by_role("link", name="Readings").click()
    expect(page.get_by_label("Earth fault loop impedance Zs")).to_have_value("0.61")
    expect(page.get_by_label("not tested, because")).to_have_value("the cut-out is sealed")
    page.unroute_all()
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(status).to_have_text(re.compile("Saved$"), timeout=30_000)

    page.get_by_role("link", name="home H-33").click()
    page.get_by_role("link", name="Read over and submit").click()
    summary = page.locator("main")
    expect(summary).to_contain_text("0.61 ohm")
    expect(summary).to_contain_text("not tested: the cut-out is sealed")
    expect(summary).to_contain_text("Nobody here verified it")
    page.get_by_role("button", name="Submit").click()
    page.get_by_role("dialog").get_by_role("button", name="Submit").click()
    page.get_by_role("heading", name="Recorded", exact=True).wait_for()
    words = page.locator("main").inner_text()
    assert "recorded as inspected on" in words and "by Fennimore Gale" in words
    assert "waits to be accepted" in words and "never certifies" in words and "This link is now spent" in words
    assert page.evaluate("indexedDB.databases().then(all => all.length)") == 1
    assert _kept_keys(page, "draft/") == [] and _kept_keys(page, "file/") == []

    page.goto("about:blank")
    page.goto(f"{visitor.demo.base_url}{link.path}")
    page.get_by_role("heading", name="This link is no longer open").wait_for()
    page.wait_for_timeout(200)
    assert _kept_keys(page, "seen/") == []
    assert "Whom to ask" in page.locator("main").inner_text()

    # Who made the link was told it, and does not accept what came in by it.
    seen = visit(OFFICER).open("/inspections")
    card = seen.locator("section.card", has_text=number)
    card.get_by_role("button", name="Compare with the document").click()
    expect(card).to_contain_text("not tested: the cut-out is sealed")
    expect(card.get_by_role("img")).to_be_visible()
    card.get_by_role("button", name="Accept").click()
    seen.get_by_role("dialog").get_by_role("button", name="Accept").click()
    expect(card).to_have_count(0)
    seen.get_by_label("Show").select_option("accepted")
    expect(card).to_contain_text("a safety officer compared the document")


def test_a_second_device_does_not_write_over_the_first(visit: Visit) -> None:
    administrator = _at_home(visit)
    link = make_link(administrator, agree_visit(administrator, "H-27"))
    _, phone = open_link(visit, link)
    _, tablet = open_link(visit, link)
    for page in (phone, tablet):
        page.get_by_role("link", name="Open home").click()
        page.get_by_role("link", name=re.compile("with")).first.click()
        page.get_by_role("heading", name="Certificate", exact=True).wait_for()
    phone.get_by_label("Its number").fill("R-PHONE")
    expect(phone.locator(".draft-status")).to_have_text(re.compile("Saved$"))
    tablet.get_by_label("Its number").fill("R-TABLET")
    expect(tablet.get_by_role("alert")).to_contain_text("Another device saved a later draft")
    tablet.get_by_role("button", name="Take the other draft").click()
    tablet.get_by_role("dialog").get_by_role("button", name="Take the other draft").click()
    expect(tablet.get_by_label("Its number")).to_have_value("R-PHONE")


def test_a_figure_out_of_range_is_told_before_sending_in_the_services_words(visit: Visit) -> None:
    administrator = _at_home(visit)
    link = make_link(administrator, agree_visit(administrator, "H-28"))
    _, page = open_link(visit, link)
    open_home(page)
    page.get_by_role("link", name="Readings").click()
    page.get_by_label("Trip time of the RCD").fill("20000")
    told = page.get_by_text("Must lie between 0 and 10000 ms.")
    expect(told).to_be_visible()
    page.get_by_label("Trip time of the RCD").fill("28")
    expect(told).to_have_count(0)


def test_a_submission_whose_answer_was_lost_is_sent_again_and_recorded_once(visit: Visit) -> None:
    administrator = _at_home(visit)
    link = make_link(administrator, agree_visit(administrator, "H-29"))
    _, page = open_link(visit, link)
    open_home(page)
    fill_certificate(page, "R-LOST-1")
    page.get_by_role("link", name="home H-29").click()
    page.get_by_role("link", name="Read over and submit").click()
    lost: list[int] = []

    def lose_the_first_answer(route: Route) -> None:
        reply = route.fetch()
        lost.append(reply.status)
        route.abort() if len(lost) == 1 else route.fulfill(response=reply)

    page.route(re.compile("/submission$"), lose_the_first_answer)
    for _ in range(2):
        page.get_by_role("button", name="Submit").click()
        page.get_by_role("dialog").get_by_role("button", name="Submit").click()
        page.wait_for_timeout(300)
    page.get_by_role("heading", name="Recorded", exact=True).wait_for()
    assert lost == [201, 201]


def test_an_administrator_sends_one_link_for_two_homes_and_reads_it_once(visit: Visit) -> None:
    administrator = _at_home(visit)
    for reference in ("H-30", "H-31"):
        agree_visit(administrator, reference)
    page = administrator.open("/visits?sort=agreed_on&state=date_agreed")
    for reference in ("H-30", "H-31"):
        page.get_by_label(f"Choose the visit to {reference}").check()
    page.get_by_role("button", name="Send one link for them").click()
    page.get_by_label("E-mail address").fill("office@gale-wiring.example")
    page.get_by_role("button", name="Send the link").click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("2 homes with")
    dialog.get_by_role("button", name="Send the link").click()
    address = page.locator(".secret").inner_text()
    assert "/inspect#" in address
    page.reload()
    page.get_by_role("heading", name="Links sent").wait_for()
    assert address.split("#")[1] not in page.content()
    row = page.get_by_role("row").filter(has_text="office@gale-wiring.example")
    row.get_by_role("button", name="Revoke").click()
    page.get_by_role("dialog").get_by_role("button", name="Revoke the link").click()
    expect(row).to_contain_text("Revoked")
    dead = visit(width=PHONE_PX).open("/inspect#" + address.split("#")[1])
    assert "no longer open" in dead.locator("main").inner_text()


def test_a_member_asks_for_a_visit_and_sees_it_waiting(visit: Visit) -> None:
    member = visit(MEMBER_WITHOUT_CLEARANCE, width=PHONE_PX)
    visits = member.open("/outlets").get_by_role("region", name="Electrician's visits")
    visits.get_by_role("button", name="Ask for a visit").click()
    form = visits.get_by_role("form", name="Ask for a visit")
    form.get_by_label("Why now").fill("The finding was put right")
    form.get_by_role("button", name="Ask for a visit").click()
    expect(form).to_have_count(0)
    expect(visits).to_contain_text("Asked for: garage socket")
    home = member.read("/session")["household_id"]
    assert member.read(f"/households/{home}/visits")["items"][0]["reason"] == "The finding was put right"


def _at_home(visit: Visit) -> Visitor:
    administrator = visit(ADMINISTRATOR)
    administrator.open("/visits")
    return administrator


def _kept_keys(page: Page, prefix: str) -> list[str]:
    return page.evaluate(
        """prefix => new Promise(done => {
          const opening = indexedDB.open("plugward-kept");
          opening.onsuccess = () => {
            const keys = opening.result.transaction("kept").objectStore("kept").getAllKeys();
            keys.onsuccess = () => done(keys.result.filter(key => key.startsWith(prefix)));
          };
        })""",
        prefix,
    )
