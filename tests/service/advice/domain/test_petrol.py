"""A mile in petrol: published examples of the formula come out, and a rate that has ended says so."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from service.advice.domain.petrol import PetrolAsked, petrol_mile
from service.common.errors import Rejected
from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures

BOOK = FigureBook(shipped_figures())
TODAY = date(2026, 11, 25)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("litre", "mpg", "published"),
    [("129.2", "43.4", "13.5"), ("129.2", "35.9", "16.4"), ("129.2", "24.3", "24.1"), ("129.9", "43.4", "13.6"),
     ("129.9", "35.9", "16.4"), ("136.8", "53.0", "11.7"), ("137.5", "53.0", "11.8")],
)  # fmt: skip
def test_the_published_examples_come_out(
    reference: Callable[..., None], litre: str, mpg: str, published: str
) -> None:
    found = petrol_mile(PetrolAsked(pence_per_litre=Decimal(litre), miles_per_gallon=Decimal(mpg)), BOOK, TODAY)
    assert found.up_per_mile is not None
    reference(
        source="HMRC, advisory fuel rate calculation tables, Dec 2013 and Mar 2014", expected=Decimal(published),
        got=Decimal(found.up_per_mile) / 10**6, tolerance=Decimal("0.1"),
    )  # fmt: skip


def test_a_rate_in_force_is_current_and_one_that_has_ended_says_so() -> None:
    in_july = petrol_mile(PetrolAsked(), BOOK, date(2026, 7, 1))
    assert (in_july.up_per_mile, in_july.is_current) == (17_000_000, True)
    now = petrol_mile(PetrolAsked(), BOOK, TODAY)
    assert (now.up_per_mile, now.is_current) == (17_000_000, False)
    assert "none for today is known" in now.step.rule
    assert petrol_mile(PetrolAsked(), BOOK, date(2010, 1, 1)).up_per_mile is None


def test_every_fault_of_the_question_is_named() -> None:
    with pytest.raises(Rejected) as refused:
        PetrolAsked("huge", Decimal(0), None)
    assert [fault.field for fault in refused.value.faults] == [
        "petrol_size", "petrol_miles_per_gallon", "petrol_pence_per_litre",
    ]  # fmt: skip
