"""Duty cycle to current and back, against two test instruments' manuals."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.pilot import PilotMeaning, pilot_current, pilot_duty, pilot_state
from tests.service.safety.domain.arithmetic.published import (
    CONTROL_MODULE,
    INLINE_TESTER,
    TEST_ADAPTER,
    derived,
    printed,
)

# duty, current as printed
PRINTED = """2 none|5 digital|7.5 none|8 6.0|9 6.0|10 6.0|16 9.6|20 12.0|25 15.0|50 30.0|53 31.8|80 48.0|85 51.0
|86 55.0|90 65.0|95 77.5|96 80.0|97 80.0|98 none"""
# the edges of the printed ranges
EDGES = """0 none|2.99 none|3 digital|4.5 digital|5.5 digital|7 digital|7.01 none|7.99 none|9.99 6.0|96.01 80.0
|97.01 none|100 none"""
WORKED_OUT = "13.33 8.0|16.67 10.0|21.67 13.0|26.67 16.0|33.33 20.0|53.33 32.0|66.67 40.0"
INVERSE = "6 10.00|8 13.33|10 16.67|13 21.67|16 26.67|20 33.33|32 53.33|48 80|63 89.2|80 96"
LEVELS = [("12", "A"), ("9", "B"), ("6", "C"), ("3", "D")]
FAULT_LEVELS = [("0", "E"), ("-12", "F")]


def pairs(text):
    return [tuple(pair.split()) for pair in text.split("|")]


def reading_in_words(duty):
    reading = pilot_current(Decimal(duty))
    if reading.meaning is PilotMeaning.CURRENT:
        return str(reading.current_a.quantize(Decimal("0.1")))
    return "digital" if reading.meaning is PilotMeaning.DIGITAL else "none"


@pytest.mark.reference
@pytest.mark.parametrize(("duty", "expected"), pairs(PRINTED))
def test_a_duty_cycle_means_what_the_manuals_print(duty, expected, reference):
    reference(source=TEST_ADAPTER, expected=expected, got=reading_in_words(duty))


@pytest.mark.reference
@pytest.mark.parametrize(("duty", "expected"), pairs(EDGES))
def test_the_edges_of_the_ranges_belong_where_the_manuals_put_them(duty, expected, reference):
    reference(source=f"{TEST_ADAPTER}: range limits", expected=expected, got=reading_in_words(duty))


@pytest.mark.reference
@pytest.mark.parametrize(("duty", "expected"), pairs(WORKED_OUT))
def test_common_currents_stand_at_their_duty_cycles(duty, expected, reference):
    got = pilot_current(Decimal(duty)).current_a
    reference(source=derived("I = 0.6 x duty"), got=got, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(("current", "expected"), pairs(INVERSE))
def test_a_current_is_signalled_by_its_duty_cycle(current, expected, reference):
    source = derived("duty = I / 0.6 up to 51 A, I / 2.5 + 64 above")
    reference(source=source, got=pilot_duty(Decimal(current)).duty_percent, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(("duty", "expected"), [("85", "51.0"), ("85.000001", "52.5")])
def test_the_current_jumps_at_85_percent(duty, expected, reference):
    got = pilot_current(Decimal(duty)).current_a
    reference(source=derived("both branches at 85 %"), expected=Decimal(expected), got=got, tolerance=Decimal("1e-5"))


@pytest.mark.reference
@pytest.mark.parametrize(("level", "expected"), LEVELS)
def test_pilot_levels_show_the_state_of_the_car(level, expected, reference):
    reference(source=INLINE_TESTER, expected=expected, got=pilot_state(Decimal(level)).state.value)


@pytest.mark.reference
@pytest.mark.parametrize(("level", "expected"), FAULT_LEVELS)
def test_pilot_levels_show_faults(level, expected, reference):
    reference(source=CONTROL_MODULE, expected=expected, got=pilot_state(Decimal(level)).state.value)


@pytest.mark.reference
@pytest.mark.parametrize(("level", "expected"), [("13", "A"), ("11", "A"), ("8", "B"), ("10", "B"), ("-13", "F")])
def test_measured_levels_may_be_a_volt_off(level, expected, reference):
    reference(source=f"{CONTROL_MODULE}: +/-1 V", expected=expected, got=pilot_state(Decimal(level)).state.value)


@pytest.mark.parametrize("level", ["10.5", "7.5", "4.5", "1.5", "-6", "14"])
def test_a_level_between_the_states_is_not_known(level):
    assert pilot_state(Decimal(level)).state is None


def test_less_than_six_amps_is_a_pause():
    for current in ("0", "3", "5.99"):
        setting = pilot_duty(Decimal(current))
        assert setting.is_pause
        assert setting.signalled_a is None
    assert not pilot_duty(6).is_pause


def test_between_51_and_52_5_amps_the_car_is_offered_51():
    setting = pilot_duty(Decimal("52.4"))
    assert (setting.duty_percent, setting.signalled_a) == (85, 51)


@pytest.mark.parametrize("duty", ["-0.1", "100.1", "NaN", "Infinity"])
def test_a_duty_cycle_out_of_range_is_refused(duty):
    with pytest.raises(Rejected, match="duty_percent: must lie between 0 and 100 %"):
        pilot_current(Decimal(duty))


@pytest.mark.parametrize("current", ["-1", "80.01", "NaN"])
def test_a_current_that_no_pilot_states_is_refused(current):
    with pytest.raises(Rejected, match="current_a: must lie between 0 and 80 A"):
        pilot_duty(Decimal(current))


@given(st.decimals(6, 80, places=3))
def test_what_a_car_reads_is_never_more_than_was_asked(current):
    setting = pilot_duty(current)
    read = pilot_current(setting.duty_percent).current_a
    assert abs(read - setting.signalled_a) < Decimal("1e-20")
    assert read <= current + Decimal("1e-20")


@given(st.decimals(8, 97, places=3), st.decimals(8, 97, places=3))
def test_a_longer_duty_never_offers_less(one, other):
    low, high = sorted([one, other])
    assert pilot_current(low).current_a <= pilot_current(high).current_a


def test_the_working_names_the_rule_and_what_is_not_known_of_its_edition():
    (step,) = pilot_current(16).working.steps
    assert step.inputs == {"duty": "16 %"}
    assert step.result == "9.6 A"
    assert "IEC 61851-1" in step.source
    assert "edition not stated there" in step.source
