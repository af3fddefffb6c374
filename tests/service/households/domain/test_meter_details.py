"""A meter's kind and readings are checked as they are put together; a register never runs back."""

from datetime import date
from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.households.domain.meter_details import MeterDetails, MeterEntry, check_entry

TODAY = date(2026, 11, 25)
OTHERS = [
    ("", date(2026, 3, 1), Decimal(100)),
    ("", date(2026, 9, 1), Decimal(700)),
    ("night", date(2026, 6, 1), Decimal(5)),
]


def _faults(build) -> list[str]:
    with pytest.raises(Rejected) as refused:
        build()
    return [fault.field for fault in refused.value.faults]


def test_words_and_ranges_are_checked_all_at_once() -> None:
    assert _faults(lambda: MeterDetails("steam", -1)) == ["meter_kind", "yearly_kwh"]
    assert _faults(lambda: MeterEntry(TODAY, Decimal("-0.05"), "r" * 25)) == ["register", "kwh", "kwh"]


@pytest.mark.parametrize(
    ("day", "kwh", "register", "field"),
    [
        ("2026-11-26", "800", "", "read_on"),
        ("1999-12-31", "0", "", "read_on"),
        ("2026-03-01", "100", "", "read_on"),
        ("2026-06-01", "99.9", "", "kwh"),
        ("2026-06-01", "700.1", "", "kwh"),
        ("2026-10-01", "699", "", "kwh"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(day: str, kwh: str, register: str, field: str) -> None:
    entry = MeterEntry(date.fromisoformat(day), Decimal(kwh), register)
    assert field in _faults(lambda: check_entry(entry, OTHERS, today=TODAY))


@pytest.mark.parametrize(
    ("day", "kwh", "register"),
    [("2026-06-01", "100", ""), ("2026-06-01", "700", ""), ("2026-11-25", "9999", ""), ("2026-06-02", "5", "night"),
     ("2026-06-01", "0", "third")],
)  # fmt: skip
def test_a_reading_between_its_neighbours_is_taken(day: str, kwh: str, register: str) -> None:
    check_entry(MeterEntry(date.fromisoformat(day), Decimal(kwh), register), OTHERS, today=TODAY)
