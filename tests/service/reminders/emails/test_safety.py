"""Safety notices: what to do first for those at home, the reference for who runs the scheme, whom to ring."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from service.reminders.domain.news import DueItem, Reader, StopNews, StoppedThing, UnreadNotice
from service.reminders.emails import (
    long_overdue,
    made_stricter_at_home,
    made_stricter_in_scheme,
    ring_about,
    stopped_at_home,
    stopped_in_scheme,
)

BASE = "https://charging.example"
READER = Reader("Ada Finch", ("Rowan Ellery",))
STRICTER = StopNews(
    "a" * 32, "H-7", True, ("Drive socket: do not use.", "His reason: <rust>"),
    (StoppedThing("Drive socket", ("the safety officer's ending of the decision",)),), ("Do not charge from it.",),
)  # fmt: skip

CHANGED = StopNews(
    "a" * 32, "H-7", False,
    ("Drive <socket>: something that its last inspection rests on was changed: serial or batch",),
    (StoppedThing("Drive <socket>", ("an electrician's inspection of this outlet, made after the change",)),),
    ("Do not charge from it.",),
)  # fmt: skip


def test_what_is_not_known_after_an_edit_is_told_without_alarm_in_text_and_html() -> None:
    at_home = stopped_at_home(CHANGED, READER, base_url=BASE)
    assert at_home.subject == "Do not charge at home until it has been looked at"
    words = " ".join(at_home.text.split())
    assert words.index("Do not charge from it.") < words.index("was changed: serial or batch")
    assert "H-7" not in at_home.text + at_home.html and f"{BASE}/notices" in at_home.text
    in_scheme = stopped_in_scheme(CHANGED, READER, base_url=BASE)
    assert in_scheme.subject == "Do not charge in a home of the scheme until it has been looked at"
    assert "in the home H-7" in in_scheme.text and f"{BASE}/households/{'a' * 32}" in in_scheme.html
    for message in (at_home, in_scheme):
        assert "Drive <socket>: lifted by" in message.text and "Drive &lt;socket&gt;: lifted by" in message.html


def test_a_stricter_decision_is_told_with_its_reason() -> None:
    at_home = made_stricter_at_home(STRICTER, READER, base_url=BASE)
    assert at_home.subject == "Stop charging at home"
    assert at_home.text.index("Do this now:") < at_home.text.index("His reason: <rust>")
    assert "&lt;rust&gt;" in at_home.html and "H-7" not in at_home.text
    assert f"{BASE}/notices" in at_home.text
    in_scheme = made_stricter_in_scheme(STRICTER, READER, base_url=BASE)
    assert "about the home H-7" in in_scheme.text and f"{BASE}/households/{'a' * 32}" in in_scheme.text


def test_what_is_long_overdue_says_not_to_charge_there() -> None:
    item = DueItem("Drive socket", date(2026, 10, 1), "checked every month (common practice, no source)", -55)
    message = long_overdue([item], READER, base_url=BASE)
    assert message.subject == "Checks at home are overdue: do not charge there"
    assert "Due Thursday 1 October 2026: overdue by 55 days." in message.text


def test_the_duty_contact_reads_which_homes_to_ring_and_no_name_or_number() -> None:
    told_at = datetime(2026, 7, 1, 23, 30, tzinfo=UTC)
    notices = [UnreadNotice("H-7", "Stop charging at home", told_at, "unread for 24 hours")]
    message = ring_about(notices, READER, base_url=BASE, zone=ZoneInfo("Europe/London"))
    assert message.subject == "Ring a home: a safety notice is unread"
    assert "H-7: Stop charging at home\n- Told 02.07.2026 at 00:30\n- Why you ring: unread for 24 hours" in message.text
    assert f"Open the list: {BASE}/duty" in message.text
    assert ring_about(notices * 2, READER, base_url=BASE, zone=ZoneInfo("Europe/London")).subject.startswith("Ring 2")
