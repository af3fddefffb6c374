"""The fixed cable and its voltage drop, by the book's tables."""

from collections.abc import Callable
from decimal import Decimal

import pytest

from service.advice.domain.siting.fixed_cable import fixed_cables


@pytest.mark.reference
@pytest.mark.parametrize(
    ("use", "expected_v"),
    # 18 mV/A/m x 10 A x 18 m and 7.3 mV/A/m x 32 A x 18 m: the mV columns of Table 4D5
    [(0, Decimal("3.24")), (1, Decimal("4.2048"))],
)
def test_the_drop_of_18_m_is_that_of_the_tables(use: int, expected_v: Decimal, reference: Callable[..., None]) -> None:
    cable, _ = fixed_cables(14.0)[use]
    assert cable.length_m == 18
    reference(source="BS 7671 Table 4D5, mV/A/m of 2.5 and 6 mm2", expected=expected_v, got=cable.drop_v)
    assert cable.is_within == "passes"


def test_a_run_so_long_that_the_drop_exceeds_its_limit_fails() -> None:
    assert fixed_cables(55.0)[0][0].is_within == "passes"
    assert fixed_cables(55.0)[1][0].is_within == "fails"


def test_a_run_that_is_not_known_never_passes() -> None:
    assert [(cable.length_m, cable.is_within) for cable, _ in fixed_cables(None)] == [(None, "not_known")] * 2
