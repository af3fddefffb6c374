"""Months on the calendar, against dates worked out elsewhere."""

from datetime import date
from typing import Any

import pytest

from service.safety.domain.due_dates import months_after

SOURCE = "python-dateutil 2.9.0 relativedelta"


@pytest.mark.reference
@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 60, "2029-02-28"),
        ("2026-08-31", 6, "2027-02-28"),
        ("2021-03-31", 60, "2026-03-31"),
        ("2026-01-31", 1, "2026-02-28"),
        ("2026-12-15", 1, "2027-01-15"),
    ],
)
def test_a_date_some_months_later_is_the_same_day_or_the_months_last(
    day: str, months: int, expected: str, reference: Any
) -> None:
    got = months_after(date.fromisoformat(day), months)
    reference(source=SOURCE, expected=date.fromisoformat(expected), got=got)
