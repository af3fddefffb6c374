"""The 13 A plug, socket and fuse, against what pages say of BS 1363 and BS 1362."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.socket_outlet import (
    TWIN_TEST_A,
    FuseBehaviour,
    climate_verdict,
    for_hours_verdict,
    fuse_behaviour,
    melting_time,
    twin_verdict,
)
from service.safety.domain.arithmetic.supply_voltage import power_over_band
from tests.service.safety.domain.arithmetic.published import BS_1363_PREVIEW, FUSE_BLOG, FUSE_PAGE, TRADE_10A, TWIN


@pytest.mark.reference
@pytest.mark.parametrize(("at", "expected"), [("carries_a", "20.8"), ("blows_a", "24.7")])
def test_a_13_a_fuse_carries_1_6_and_blows_at_1_9_times_its_rating(at, expected, reference):
    reference(source=FUSE_BLOG, expected=Decimal(expected), got=getattr(fuse_behaviour(13), at))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("current", "expected"), [("13", "holds"), ("20", "holds"), ("20.8", "holds"), ("24.7", "blows")]
)
def test_a_13_a_fuse_does_not_protect_against_13_to_20_a(current, expected, reference):
    reference(source=FUSE_BLOG, expected=expected, got=fuse_behaviour(Decimal(current)).behaviour.value)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("current", "at", "expected"),
    [(30, "shortest_s", "1"), (30, "longest_s", "400"), (50, "shortest_s", "0.1"), (50, "longest_s", "20")],
)
def test_melting_times(current, at, expected, reference):
    reference(source=FUSE_PAGE, expected=Decimal(expected), got=getattr(melting_time(current), at))


@pytest.mark.reference
def test_a_twin_socket_is_tested_at_20_a_in_all(reference):
    reference(source=TWIN, expected=20, got=sum(TWIN_TEST_A))


@pytest.mark.reference
@pytest.mark.parametrize(("one", "other", "expected"), [(14, 6, "passes"), (6, 14, "passes"), (13, 13, "fails")])
def test_a_twin_socket_is_not_twice_13_a(one, other, expected, reference):
    reference(source=TWIN, expected=expected, got=twin_verdict(one, other).answer.value)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("hottest", "mean", "in_sun", "expected"),
    [
        (40, 25, False, "passes"),
        (41, 25, False, "fails"),
        (-5, 0, False, "passes"),
        (-6, 0, False, "fails"),
        (40, 26, False, "fails"),
        (20, 20, True, "fails"),
    ],
)
def test_service_conditions_of_a_socket(hottest, mean, in_sun, expected, reference):
    got = climate_verdict(hottest, mean, in_sun=in_sun).answer.value
    reference(source=BS_1363_PREVIEW, expected=expected, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("current", "expected"), [(10, "passes"), (13, "fails")])
def test_about_10_a_for_hours(current, expected, reference):
    reference(source=TRADE_10A, expected=expected, got=for_hours_verdict(current).answer.value)


@pytest.mark.reference
def test_10_a_are_2_3_kw(reference):
    reference(source=TRADE_10A, expected=2300, got=power_over_band(10).declared_w)


def test_between_the_two_currents_a_fuse_may_do_either():
    assert fuse_behaviour(22).behaviour is FuseBehaviour.MAY_BLOW
    assert fuse_behaviour(6, 3).behaviour is FuseBehaviour.BLOWS


@pytest.mark.parametrize("unknown", [(None, 20, False), (20, None, False), (20, 20, None)])
def test_service_conditions_that_are_not_known_never_pass(unknown):
    hottest, mean, in_sun = unknown
    assert climate_verdict(hottest, mean, in_sun=in_sun).answer is Answer.NOT_KNOWN


@pytest.mark.parametrize(
    ("field", "ask"),
    [
        ("current_a", lambda: fuse_behaviour(-1)),
        ("rating_a", lambda: fuse_behaviour(10, 30)),
        ("current_a", lambda: melting_time(40)),
        ("other_a", lambda: twin_verdict(10, Decimal("NaN"))),
        ("hottest_c", lambda: climate_verdict(101, 20, in_sun=False)),
    ],
)
def test_what_is_out_of_range_is_refused(field, ask):
    with pytest.raises(Rejected, match=field):
        ask()
