"""A link's secret, day and end; and whose address is an address of a home."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from service.common.errors import Rejected
from service.safety.domain.link_rules import (
    LinkRequest,
    correction_ends_at,
    hash_of,
    is_address_of_home,
    is_open,
    new_secret,
)

LONDON, AUCKLAND = ZoneInfo("Europe/London"), ZoneInfo("Pacific/Auckland")


def test_secrets_differ_and_only_their_hash_is_kept() -> None:
    secrets = {new_secret() for _ in range(200)}
    assert len(secrets) == 200
    assert min(map(len, secrets)) == 43  # 256 bits in base64
    assert hash_of("x") != "x"
    assert len(hash_of("\ud800 anything at all")) == 64


@pytest.mark.parametrize(
    ("at", "zone", "opened"),
    [
        (datetime(2026, 6, 30, 22, 59, 59, tzinfo=UTC), LONDON, False),  # 23:59:59 in summer time
        (datetime(2026, 6, 30, 23, 0, tzinfo=UTC), LONDON, True),
        (datetime(2026, 6, 30, 11, 59, tzinfo=UTC), AUCKLAND, False),
        (datetime(2026, 6, 30, 12, 0, tzinfo=UTC), AUCKLAND, True),
        (datetime(2026, 12, 1, tzinfo=UTC), LONDON, True),
    ],
)
def test_a_home_opens_at_its_own_midnight(at: datetime, zone: ZoneInfo, opened: bool) -> None:
    assert is_open(date(2026, 7, 1), at=at, zone=zone) is opened


@pytest.mark.parametrize(
    ("recorded", "ends"),
    [
        ("2026-11-25T12:00+00:00", "2026-12-03T00:00+00:00"),
        ("2026-11-25T00:00+00:00", "2026-12-03T00:00+00:00"),
        # Over the end of summer time: days are counted, not hours.
        ("2026-10-22T09:00+00:00", "2026-10-30T00:00+00:00"),
        ("2026-10-20T22:59+00:00", "2026-10-28T00:00+00:00"),
        ("2026-06-01T09:00+00:00", "2026-06-08T23:00+00:00"),
    ],
)
def test_corrections_end_with_the_seventh_local_day(recorded: str, ends: str) -> None:
    ended = correction_ends_at(datetime.fromisoformat(recorded), LONDON)
    assert ended == datetime.fromisoformat(ends)
    assert ended.utcoffset() == datetime.now(UTC).utcoffset()


@pytest.mark.parametrize(
    ("sent_to", "theirs"),
    [
        ("ada@home.example", True),
        (" ADA@Home.Example ", True),
        ("ada+inspection@home.example", True),
        ("ada@home.example.org", False),
        ("bo@home.example", False),
        ("ada@other.example", False),
    ],
)
def test_an_address_is_compared_as_its_mailbox(sent_to: str, theirs: bool) -> None:
    assert is_address_of_home(sent_to, ["bea@home.example", "Ada@home.example"]) is theirs
    assert is_address_of_home(sent_to, []) is False


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"visit_ids": ()}, "visit_ids"),
        ({"visit_ids": ("a",) * 2}, "visit_ids.1"),
        ({"visit_ids": tuple(map(str, range(41)))}, "visit_ids"),
        ({"sent_to": "two@a.example, three@b.example"}, "sent_to"),
        ({"expires_in_days": 0}, "expires_in_days"),
        ({"expires_in_days": 61}, "expires_in_days"),
    ],
)
def test_a_link_that_breaks_a_rule_names_it(changes: dict[str, object], field: str) -> None:
    usual = {"visit_ids": ("a",), "sent_to": "a@b.example", "expires_in_days": 1}
    with pytest.raises(Rejected) as refused:
        LinkRequest(**{**usual, **changes})  # type: ignore[arg-type]
    assert [fault.field for fault in refused.value.faults] == [field]
