"""What is due, item by item with its rule, and what is overdue, home by home without an address."""

from dataclasses import replace
from datetime import date

import pytest

from service.reminders.domain.news import AskedCheck, DueItem, OverdueHome, OverdueNews, Reader
from service.reminders.emails import check_asked, overdue_in_scheme, recheck_due

BASE = "https://charging.example"
READER = Reader("Ada Finch", ("Rowan Ellery",))
ITEMS = (
    DueItem("Drive socket", date(2026, 12, 9), "the newest inspection's next due date", 14, "/outlets"),
    DueItem("Blue lead", date(2026, 11, 18), "look at it every month", -7, "/check"),
)


def test_due_items_are_listed_with_date_distance_and_rule() -> None:
    message = recheck_due(ITEMS, READER, base_url=BASE)
    assert message.subject == "2 rechecks are due"
    assert "Drive socket\n- Due Wednesday 9 December 2026: in 14 days.\n- Rule: the newest" in message.text
    assert "Blue lead\n- Due Wednesday 18 November 2026: overdue by 7 days." in message.text
    assert recheck_due(ITEMS[:1], READER, base_url=BASE).subject == "A recheck is due"


def test_a_claimed_date_says_that_its_document_is_missing() -> None:
    claimed = recheck_due([replace(ITEMS[0], is_claimed=True)], READER, base_url=BASE)
    assert "- The date is claimed: its document is missing." in claimed.text
    assert "claimed" not in recheck_due(ITEMS, READER, base_url=BASE).text


@pytest.mark.parametrize(
    ("items", "label", "path"),
    [
        (ITEMS[:1], "Ask for a visit", "/outlets"),
        (ITEMS[1:], "Make the check", "/check"),
        (ITEMS, "See what is due", "/reminders"),
    ],
)
def test_the_link_leads_to_where_it_is_done(items: tuple[DueItem, ...], label: str, path: str) -> None:
    message = recheck_due(items, READER, base_url=BASE)
    assert f"\n{label}: {BASE}{path}\n" in message.text
    assert f'href="{BASE}{path}"' in message.html


def test_an_administrator_reads_homes_by_reference_new_ones_first() -> None:
    news = OverdueNews((OverdueHome("H-7", 2, 21), OverdueHome("H-1", 1, 7)), (OverdueHome("H-9", 1, 30),), 3)
    message = overdue_in_scheme(news, READER, base_url=BASE)
    assert message.subject == "Overdue in 2 homes of the scheme"
    assert "- H-7: 2 things, overdue by up to 21 days\n- H-1: 1 thing, overdue by up to 7 days" in message.text
    assert message.text.index("H-1:") < message.text.index("Told before") < message.text.index("H-9:")
    assert "And 3 more homes" in message.text
    assert f"{BASE}/households?overdue=true" in message.text


def test_a_check_asked_for_now_says_what_of_and_what_not_to_touch() -> None:
    message = check_asked(AskedCheck(ITEMS[1:], ("Porch socket",), ITEMS[:1]), READER, base_url=BASE)
    assert message.subject == "Please make the check"
    assert "touch nothing that is scorched, wet or crackling" in " ".join(message.text.split())
    order = [message.text.index(words) for words in ("Blue lead", "Porch socket", "Besides", "Drive socket")]
    assert order == sorted(order)
    for body in (message.text, message.html):
        assert "No check that counts is recorded." in body and f"{BASE}/check" in body


def test_where_nothing_else_is_due_nothing_else_is_said() -> None:
    assert "Besides" not in check_asked(AskedCheck(ITEMS[1:], ()), READER, base_url=BASE).text
