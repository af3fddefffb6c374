"""What a car draws through a lead, and whether outlet, cable and circuit may carry it for hours."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.drawn_current import CarFeed, LeadUse, drawn_current, lead_verdict
from tests.service.safety.domain.arithmetic.published import ON_BOARD

RANK = [LeadUse.DO_NOT_USE, LeadUse.NOT_KNOWN, LeadUse.USE_WITH_LIMITS, LeadUse.WITHIN]


def amps(*values):
    return tuple(Decimal(value) for value in values)


def feed(pilot, cable, onboard, **more):
    known = [None if value is None else Decimal(value) for value in (pilot, cable, onboard)]
    return CarFeed(*known, **more)


def carry(outlet, cable=None, circuit=None):
    cable = outlet if cable is None else cable
    circuit = outlet if circuit is None else circuit
    return [("outlet", Decimal(outlet)), ("cable", Decimal(cable)), ("circuit", Decimal(circuit))]


@pytest.mark.parametrize(
    ("parts", "expected"),
    [((10, 13, 32), 10), ((32, 20, 32), 20), ((32, 32, 16), 16), ((13, 13, 13), 13), ((32, 70, 32), 32)],
)
def test_the_least_of_pilot_coding_and_charger_is_drawn(parts, expected):
    assert drawn_current(feed(*parts)).drawn_a == expected


@pytest.mark.reference
def test_a_6_6_kw_car_on_a_22_kw_point_takes_6_6_kw(reference):
    car = CarFeed(Decimal(32), Decimal(32), Decimal(6600) / 230, outlet_phases=3, onboard_phases=1)
    got = drawn_current(car).power_w
    reference(source=ON_BOARD, expected=Decimal(6600), got=got, tolerance=Decimal("1e-6"))


def test_an_11_kw_three_phase_car_on_one_phase_takes_one_phase_only_from_memory():
    drawn = drawn_current(feed(32, 32, 16, outlet_phases=1, onboard_phases=3))
    assert (drawn.drawn_a, drawn.phases, drawn.power_w) == (16, 1, 3680)


def test_the_part_that_binds_is_named():
    assert drawn_current(feed(10, 13, 32)).bound_by == "pilot at its present setting"
    assert drawn_current(feed(32, 20, 32)).bound_by == "cable coding"
    assert drawn_current(feed(32, 32, 16)).bound_by == "on-board charger"


def test_a_part_that_is_not_known_leaves_a_bound_and_no_value():
    drawn = drawn_current(feed(10, None, 32))
    assert (drawn.drawn_a, drawn.at_most_a, drawn.power_w) == (None, 10, None)
    assert drawn_current(feed(None, None, None)).at_most_a is None


def test_a_cable_without_coding_is_left_out_and_not_unknown():
    assert drawn_current(feed(10, None, 32, has_cable_coding=False)).drawn_a == 10


def test_a_current_within_everything_is_within():
    verdict = lead_verdict(feed(10, 13, 32), carry(10, 27, 20))
    assert (verdict.use, verdict.may_carry_a, verdict.governed_by) == (LeadUse.WITHIN, 10, "outlet")
    assert verdict.allows_current


@pytest.mark.parametrize("limits", [carry(10, 27, 20), carry(32, 10, 20), carry(32, 27, 10)])
def test_too_much_for_outlet_cable_or_circuit_is_do_not_use_with_this_lead(limits):
    verdict = lead_verdict(feed(13, 13, 32), limits)
    assert verdict.use is LeadUse.DO_NOT_USE
    assert not verdict.allows_current
    assert "do not use with this lead" in verdict.working.steps[-1].result


def test_a_lead_that_can_be_set_lower_is_used_with_limits_once_a_photo_shows_it():
    car = feed(13, 13, 32, lead_settings_a=amps(6, 8, 10, 13))
    verdict = lead_verdict(car, carry(10))
    assert (verdict.use, verdict.set_to_a, verdict.set_on) == (LeadUse.USE_WITH_LIMITS, 10, "lead")
    assert not verdict.allows_current
    assert "not confirmed by a photo" in verdict.working.steps[-1].result
    assert lead_verdict(car, carry(10), photo_shows_a=Decimal(10)).allows_current
    assert lead_verdict(car, carry(10), photo_shows_a=Decimal(8)).allows_current
    assert not lead_verdict(car, carry(10), photo_shows_a=Decimal(13)).allows_current


def test_a_car_that_can_be_set_lower_serves_where_the_lead_cannot():
    verdict = lead_verdict(feed(13, 13, 32, car_settings_a=amps(5, 8, 16)), carry(10))
    assert (verdict.use, verdict.set_to_a, verdict.set_on) == (LeadUse.USE_WITH_LIMITS, 8, "car")


def test_a_setting_below_six_amps_is_no_setting():
    verdict = lead_verdict(feed(13, 13, 32, car_settings_a=amps(5)), carry(10))
    assert verdict.use is LeadUse.DO_NOT_USE


def test_a_lead_set_low_that_could_be_set_high_stays_limited():
    verdict = lead_verdict(feed(8, 13, 32, lead_settings_a=amps(8, 10, 13)), carry(10))
    assert (verdict.use, verdict.set_to_a) == (LeadUse.USE_WITH_LIMITS, 10)
    assert lead_verdict(feed(8, 13, 32, lead_settings_a=amps(8, 10)), carry(10)).use is LeadUse.WITHIN


def test_a_car_that_could_be_set_high_is_limited_only_where_the_lead_would_follow():
    assert lead_verdict(feed(10, 13, 8, car_settings_a=amps(8, 16)), carry(10)).use is LeadUse.WITHIN
    limited = lead_verdict(feed(13, 13, 8, car_settings_a=amps(16)), carry(10))
    assert (limited.use, limited.set_to_a, limited.set_on) == (LeadUse.USE_WITH_LIMITS, 8, "car")


def test_what_may_be_carried_and_is_not_known_is_never_a_pass():
    unknown = [("outlet", Decimal(10)), ("cable", None)]
    verdict = lead_verdict(feed(10, 13, 32), unknown)
    assert (verdict.use, verdict.missing) == (LeadUse.NOT_KNOWN, ("cable",))
    assert lead_verdict(feed(10, 13, 32), []).use is LeadUse.NOT_KNOWN
    assert lead_verdict(feed(10, 13, 32), [("outlet", None)]).use is LeadUse.NOT_KNOWN


def test_what_exceeds_a_known_part_is_do_not_use_whatever_else_is_missing():
    unknown = [("outlet", Decimal(10)), ("cable", None)]
    assert lead_verdict(feed(13, 13, 32), unknown).use is LeadUse.DO_NOT_USE
    settable = feed(13, 13, 32, lead_settings_a=amps(10, 13))
    assert lead_verdict(settable, unknown).use is LeadUse.DO_NOT_USE


def test_a_pilot_that_is_not_known_is_never_within_a_lower_limit():
    assert lead_verdict(feed(None, 13, 32), carry(10)).use is LeadUse.NOT_KNOWN
    assert lead_verdict(feed(None, None, None), carry(10)).use is LeadUse.NOT_KNOWN


@pytest.mark.parametrize("current", ["0", "-6", "NaN", "1001"])
def test_a_current_out_of_range_is_refused_by_name(current):
    with pytest.raises(Rejected) as refused:
        feed(current, 13, 32, lead_settings_a=amps(10, 0))
    assert [fault.field for fault in refused.value.faults] == ["pilot_a"]
    with pytest.raises(Rejected, match=r"lead_settings_a.1"):
        feed(10, 13, 32, lead_settings_a=amps(10, 0))
    with pytest.raises(Rejected, match=r"may_carry.0"):
        lead_verdict(feed(10, 13, 32), [("outlet", Decimal(current))])


CURRENTS = st.sampled_from(amps(6, 8, 10, 13, 16, 20, 32))
UNKNOWN = st.none() | CURRENTS
SETTINGS = st.lists(CURRENTS, max_size=3).map(tuple)
FEEDS = st.builds(CarFeed, UNKNOWN, UNKNOWN, UNKNOWN, lead_settings_a=SETTINGS, car_settings_a=SETTINGS)
WAYS = st.lists(UNKNOWN, min_size=1, max_size=3).map(
    lambda values: [(f"part {at}", one) for at, one in enumerate(values)]
)


@given(FEEDS, WAYS, CURRENTS)
def test_a_weaker_part_never_gives_a_better_answer(car, way, weaker):
    weakened = [(name, None if value is None else min(value, weaker)) for name, value in way]
    assert RANK.index(lead_verdict(car, weakened).use) <= RANK.index(lead_verdict(car, way).use)


@given(FEEDS, WAYS, CURRENTS)
def test_a_higher_pilot_never_gives_a_better_answer(car, way, higher):
    if car.pilot_a is not None:
        raised = replace(car, pilot_a=max(car.pilot_a, higher))
        assert RANK.index(lead_verdict(raised, way).use) <= RANK.index(lead_verdict(car, way).use)


@given(FEEDS, WAYS)
def test_forgetting_a_part_of_the_way_never_gives_a_pass(car, way):
    assert not lead_verdict(car, [*way, ("another", None)], photo_shows_a=Decimal(6)).allows_current


@given(FEEDS, WAYS, CURRENTS)
def test_where_current_may_flow_it_is_within_what_may_be_carried(car, way, photo):
    verdict = lead_verdict(car, way, photo_shows_a=photo)
    if verdict.allows_current:
        flows = verdict.drawn.at_most_a if verdict.use is LeadUse.WITHIN else photo
        assert all(value is not None and flows <= value for _, value in way)
