"""The figure that holds on a day, and that nobody guesses where none does."""

from datetime import date
from decimal import Decimal

import pytest

from service.figures.domain.book import Figure, FigureBook, FigureNotKnown

NAME = "advisory_electric_public"


def figure(from_on: str, value: int, until_on: str | None = None, **more) -> Figure:
    until = date.fromisoformat(until_on) if until_on else None
    usual = {"name": NAME, "key": "", "unit": "pence per mile", "standing": "published", "source": "a page"}
    return Figure(**{**usual, **more}, from_on=date.fromisoformat(from_on), until_on=until, value=Decimal(value))


BOOK = FigureBook([figure("2026-03-01", 15), figure("2025-09-01", 14), figure("2026-06-01", 16, "2026-09-01")])


@pytest.mark.parametrize(
    ("on", "value"),
    [
        ("2025-08-31", None), ("2025-09-01", 14), ("2026-02-28", 14), ("2026-03-01", 15), ("2026-08-31", 16),
        ("2026-09-01", None), ("2030-01-01", None),
    ],
)
def test_a_figure_holds_from_its_day_to_before_the_next_or_its_end(on, value):
    found = BOOK.find(NAME, date.fromisoformat(on))
    assert (found and found.value) == value


def test_an_older_figure_does_not_come_back_where_a_later_one_ended():
    book = FigureBook([figure("2020-01-01", 4), figure("2021-01-01", 5, "2022-01-01")])
    assert book.find(NAME, date(2022, 1, 1)) is None


def test_a_corrected_rate_of_the_same_day_holds():
    # The public rate of 1 Sep 2025 was first printed as 12.
    book = FigureBook([figure("2025-09-01", 12), figure("2025-09-01", 14)])
    assert book.at(NAME, date(2025, 9, 1)).value == 14
    assert len(book.rows(NAME)) == 1


def test_what_is_not_known_is_refused_with_name_key_and_day():
    with pytest.raises(FigureNotKnown) as caught:
        BOOK.at("advisory_petrol", date(2026, 11, 25), "up_to_1400")
    (fault,) = caught.value.faults
    assert (fault.field, fault.value) == ("advisory_petrol", "2026-11-25")
    assert fault.rule == (
        "no advisory petrol (up to 1400) is known for 2026-11-25: the operator must record it first"
    )


def test_the_figure_before_another():
    middle = BOOK.at(NAME, date(2026, 4, 1))
    before = BOOK.before(middle)
    assert before is not None and before.value == 14
    assert BOOK.before(before) is None


def test_keys_and_rows_come_in_order():
    given = [figure("2026-01-01", 2, key="b"), figure("2026-01-01", 1, key="a"), figure("2025-01-01", 3, key="b")]
    book = FigureBook(given)
    assert book.keys(NAME) == ("a", "b")
    assert [row.value for row in book.rows(NAME, "b")] == [3, 2]
    assert [row.value for row in book.all()] == [1, 3, 2]


def test_a_step_shows_value_source_and_standing():
    step = BOOK.at(NAME, date(2026, 4, 1)).step("Rate in public")
    assert (step.result, step.source) == ("15 pence per mile", "a page (published)")
