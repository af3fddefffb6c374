"""VAT in a price at home, shown as what the employer cannot recover."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from service.reimbursement.domain.vat import vat_step, without_vat
from tests.factories.claims import BOOK

SOURCE = "HMRC Revenue & Customs Brief 7 (2021), 5 % on electricity at home; the division derived"


@pytest.mark.reference
def test_a_price_without_its_vat(reference: Callable[..., None]) -> None:
    with_vat = Fraction("26.35")
    net = without_vat(with_vat, Fraction(5))
    reference(source=SOURCE, expected=Decimal("25.0952"), got=_rounded(net))
    reference(source=SOURCE, expected=Decimal("1.2548"), got=_rounded(with_vat - net))


def test_the_working_says_that_nobody_gets_it_back() -> None:
    step = vat_step(Fraction(105), date(2026, 6, 1), BOOK)
    assert step.result == "5 p, which the employer cannot recover"
    assert "cannot recover VAT on electricity that an employee buys at home" in step.rule


def test_an_unknown_rate_is_not_guessed() -> None:
    assert vat_step(Fraction(105), date(1990, 1, 1), BOOK).result == "not known"


def _rounded(value: Fraction) -> Decimal:
    return Decimal(round(value * 10_000)) / 10_000
