"""Months, and tax years that begin on a 6 April."""

from datetime import date

import pytest

from service.common.errors import Rejected
from service.reimbursement.domain.months import Month, tax_year_from, tax_year_words


@pytest.mark.parametrize("text", ["2026-13", "2026-1", "2026-11-01", "", "1969-12", "2100-01", "abcd-ef"])
def test_what_is_no_month_is_refused(text: str) -> None:
    with pytest.raises(Rejected):
        Month.read(text)


def test_a_month_ends_where_the_next_begins() -> None:
    month = Month.read("2026-12")
    assert (month.first_on, month.end_on, str(month)) == (date(2026, 12, 1), date(2027, 1, 1), "2026-12")
    assert month.holds(date(2026, 12, 31))
    assert not month.holds(date(2027, 1, 1))


@pytest.mark.parametrize(
    ("day", "words"),
    [(date(2026, 4, 5), "2025/26"), (date(2026, 4, 6), "2026/27"), (date(2100, 1, 1), "2099/00")],
)
def test_a_tax_year_is_named_by_both_years(day: date, words: str) -> None:
    assert tax_year_words(tax_year_from(day)) == words
