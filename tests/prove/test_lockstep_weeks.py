"""The kernel against the numpy oracle in brief; ``make prove P=lockstep`` asks thousands."""

import numpy as np
import pytest

from tests.prove.lockstep import main
from tests.prove.lockstep_weeks import lockstep_plans


def test_the_kernel_and_the_numpy_oracle_find_the_same_plans(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(300, 20_261_201) == 0
    said = capsys.readouterr().out
    assert "300 of 300 households" in said
    assert " 0 plans differ" in said


def test_the_oracle_fills_the_cheapest_half_hours_and_no_more_than_is_needed() -> None:
    household = ([0, 300], [100, 300], [[(0, 1, 1000)], [(1, 3, 150)]])
    found = lockstep_plans(np.array([1, 8, 9]), [household])
    assert found.energy_wh.tolist() == [[100, 150, 50]]
    assert found.unmet_wh.tolist() == [[0, 0]]


def test_the_oracle_says_what_cannot_be_met_and_takes_what_is_paid_for() -> None:
    short = ([500], [900], [[(0, 2, 100)]])
    paid = ([0], [250], [[(0, 4, 100)]])
    found = lockstep_plans(np.array([5, -2, -1, 0]), [short, paid])
    assert found.energy_wh.tolist() == [[100, 100, 0, 0], [0, 100, 100, 0]]
    assert found.unmet_wh.tolist() == [[300], [0]]
