"""The first place is firm where no likely change of an input puts the second before it."""

from fractions import Fraction

from service.advice.domain.break_even import CheapUse, YearCost
from service.advice.domain.tariff_firmness import Firmness, FlipInput, Side, firmness_of

MILES = Fraction(8000)


def _verdict(first: Side, second: Side, likely: int = 200):
    return firmness_of(first, second, house_wh=3_000_000, house_likely_permille=likely, miles=MILES)


def test_a_tariff_that_is_cheaper_in_every_part_is_firm() -> None:
    found = _verdict(Side("A", YearCost(50, 20, 10), None), Side("B", YearCost(60, 30, 20), None))
    assert found.firmness is Firmness.FIRM
    assert [(flip.what, flip.flips_at) for flip in found.flips] == [(FlipInput.HOUSE, None), (FlipInput.MILES, None)]


def test_a_flip_within_what_may_well_happen_is_close() -> None:
    first, second = Side("A", YearCost(500, 100, 0), None), Side("B", YearCost(400, 210, 0), None)
    found = _verdict(first, second)
    # 10 % more of the house's use makes the two alike
    assert (found.flips[0].flips_at, found.flips[0].is_near) == (Fraction(3300), True)
    assert found.firmness is Firmness.CLOSE
    assert not _verdict(first, second, likely=50).flips[0].is_near


def test_use_that_may_leave_the_cheap_hours_is_told_for_each_tariff_that_has_some() -> None:
    cheap = CheapUse(cheap_wh=1_500_000, cheap_np=100, other_wh=1_500_000, other_np=400)
    found = _verdict(Side("Night", YearCost(400, 100, 0), cheap), Side("Even", YearCost(450, 110, 0), None))
    share = found.flips[-1]
    assert (share.what, share.of, share.value) == (FlipInput.SHARE, "Night", Fraction(1, 2))
    assert share.flips_at == Fraction(1, 2) - Fraction(60, 600)
    assert share.is_near
    assert found.firmness is Firmness.CLOSE


def test_an_estimate_is_never_firm_and_neither_are_equal_sums() -> None:
    first, second = Side("A", YearCost(50, 20, 10), None, is_estimate=True), Side("B", YearCost(60, 30, 20), None)
    found = _verdict(first, second)
    assert found.firmness is Firmness.CLOSE
    assert "The prices of A in a year to come are not known" in found.reasons[0]
    alike = Side("A", YearCost(50, 20, 10), None)
    assert _verdict(alike, Side("B", YearCost(50, 20, 10), None)).firmness is Firmness.CLOSE


def test_without_miles_there_is_nothing_to_say_of_them() -> None:
    found = firmness_of(
        Side("A", YearCost(50, 0, 10), None), Side("B", YearCost(60, 0, 20), None),
        house_wh=1, house_likely_permille=100, miles=Fraction(0),
    )  # fmt: skip
    assert [flip.what for flip in found.flips] == [FlipInput.HOUSE]
