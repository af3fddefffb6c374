"""The words of a safety file: stored values as a person reads them."""

from datetime import UTC, date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from service.reporting.domain.safety_file import named, stamp, table, words


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "not known"),
        ("", "not known"),
        (True, "yes"),
        (False, "no"),
        (0, "0"),
        (Decimal("2.50"), "2.50"),
        (date(2026, 3, 5), "5 Mar 2026"),
        ("use_with_limits", "use with limits"),
        ("due on 2026-03-05.", "due on 5 Mar 2026."),
        ("number 2026-13-45", "number 2026-13-45"),
        (["yes", "not_known"], "yes, not known"),
        ([], "none"),
        ({"value": "0.8", "not_tested_because": ""}, "0.8"),
        ({"value": None, "not_tested_because": "no access"}, "not tested, because no access"),
        ({"value": None, "not_tested_because": ""}, "not known"),
        ({"limit_a": "10"}, "limit [A]: 10"),
    ],
)
def test_a_value_in_words(value: object, text: str) -> None:
    assert words(value) == text


def test_an_instant_is_never_written_without_its_clock() -> None:
    with pytest.raises(TypeError):
        words(datetime(2026, 7, 1, 11, 0, tzinfo=UTC))
    assert stamp(datetime(2026, 7, 1, 11, 0, tzinfo=UTC), ZoneInfo("Europe/London")) == "1 Jul 2026 12:00:00 BST"


def test_the_two_one_o_clocks_of_an_autumn_night_are_told_apart() -> None:
    zone = ZoneInfo("Europe/London")
    first, second = (datetime(2026, 10, 25, hour, 30, tzinfo=UTC) for hour in (0, 1))
    assert stamp(first, zone) == "25 Oct 2026 01:30:00 BST"
    assert stamp(second, zone) == "25 Oct 2026 01:30:00 GMT"


def test_a_name_without_a_unit_stays_a_name() -> None:
    assert (named("inspected_on"), named("a"), named("zs_ohm")) == ("inspected on", "a", "zs [Ω]")


def test_a_table_counts_every_row() -> None:
    made = table("T", ("A",), [(n,) for n in range(301)])
    assert (made.total, len(made.rows), made.held_back, made.rows[0]) == (301, 300, 1, ("1",))
