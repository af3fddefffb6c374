"""What to do now, and whom to ring."""

from datetime import date

import pytest

from service.common.calendar import Nation
from service.safety.domain.first_steps import EMERGENCY_NUMBERS, emergency_number, first_steps
from service.safety.domain.signs import SIGNS

TODAY = date(2026, 11, 25)


def steps(*names: str, nation: str = "england") -> tuple[str, ...]:
    return first_steps([SIGNS[name] for name in names], nation=nation, on=TODAY)


@pytest.mark.parametrize("nation", list(Nation))
def test_every_nation_has_a_number_and_none_passes_as_confirmed_before_somebody_read_it(nation: Nation) -> None:
    number = emergency_number(nation, on=TODAY)
    assert number.number == ("03457 643 643" if nation is Nation.NORTHERN_IRELAND else "105")
    assert (number.is_confirmed, number.source) == (False, "from memory")


def test_no_number_is_made_up_for_a_day_before_the_table() -> None:
    with pytest.raises(LookupError):
        emergency_number("england", on=date(2000, 1, 1))
    assert len(EMERGENCY_NUMBERS) == len(Nation)


def test_after_a_shock_nobody_is_sent_to_the_car() -> None:
    for found in (steps("tingle"), steps("warm", "tingle", "lead_recalled")):
        assert found[0] == "Touch nothing: not the car, not the lead, not the plug."
        assert "105" in found[2]
        assert not [line for line in found if line.startswith(("End the charge", "Switch it off"))]


def test_a_shock_in_northern_ireland_names_the_number_there() -> None:
    assert "03457 643 643" in steps("tingle", nation="northern_ireland")[2]


def test_a_hot_plug_ends_the_charge_first_and_nothing_is_reset() -> None:
    found = steps("warm")
    assert found[0] == "End the charge at the car."
    assert found[1].startswith("Switch it off at the fuse board, if you can get there safely")
    assert found[-1] == "Do not reset anything to carry on."


def test_no_line_of_any_sign_says_to_reset_and_carry_on() -> None:
    lines = [line for name in SIGNS for line in steps(name)]
    assert not [line for line in lines if "reset" in line.lower() and not line.startswith("Do not reset")]


def test_without_a_sign_there_is_nothing_to_do() -> None:
    assert steps() == ()
