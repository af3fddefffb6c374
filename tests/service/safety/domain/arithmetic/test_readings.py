"""Limits of an electrician's readings, against look-up tables."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.households.domain.equipment import Earthing
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.readings import (
    CircuitClass,
    disconnection_time,
    insulation_verdict,
    rcd_rating_verdict,
    rcd_time_verdict,
    typical_ze,
)
from tests.service.safety.domain.arithmetic.published import APPRENTICE, DISCONNECTION, OUTSIDE_RCD, RCD_FORUM


@pytest.mark.reference
@pytest.mark.parametrize(
    ("earthing", "circuit", "expected"),
    [
        ("tn_s", "final", "0.4"),
        ("tn_c_s", "final", "0.4"),
        ("tt", "final", "0.2"),
        ("tn_s", "distribution", "5"),
        ("tn_c_s", "distribution", "5"),
        ("tt", "distribution", "1"),
    ],
)
def test_disconnection_times(earthing, circuit, expected, reference):
    got = disconnection_time(Earthing(earthing), CircuitClass(circuit)).value
    reference(source=f"Table 41.1: {DISCONNECTION}", expected=Decimal(expected), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("earthing", "expected"), [("tn_c_s", "0.35"), ("tn_s", "0.8"), ("tt", "21")])
def test_typical_external_impedance(earthing, expected, reference):
    reference(source=f"typical Ze: {APPRENTICE}", expected=Decimal(expected), got=typical_ze(Earthing(earthing)).value)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("trip_ms", "multiple", "source", "expected"),
    [
        (300, 1, APPRENTICE, "passes"),
        (301, 1, APPRENTICE, "fails"),
        (40, 5, RCD_FORUM, "passes"),
        (41, 5, RCD_FORUM, "fails"),
    ],
)
def test_rcd_trip_times(trip_ms, multiple, source, expected, reference):
    got = rcd_time_verdict(trip_ms, multiple=multiple).answer.value
    reference(source=f"RCD test: {source}", expected=expected, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("reading", "expected"), [("1", "passes"), ("0.99", "fails")])
def test_insulation_resistance(reading, expected, reference):
    got = insulation_verdict(Decimal(reading)).answer.value
    reference(source=f"insulation resistance: {APPRENTICE}", expected=expected, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("idn", "expected"), [(30, "passes"), (10, "passes"), (100, "fails")])
def test_rcd_rating_for_a_socket(idn, expected, reference):
    got = rcd_rating_verdict(idn, 32).answer.value
    reference(source=OUTSIDE_RCD, expected=expected, got=got)


def test_what_is_not_known_has_no_figure_and_no_pass():
    assert disconnection_time(Earthing.NOT_KNOWN, CircuitClass.FINAL).value is None
    assert typical_ze(Earthing.NOT_KNOWN).value is None
    assert rcd_rating_verdict(None, 13).answer is Answer.NOT_KNOWN


def test_an_rcd_that_did_not_trip_fails():
    assert rcd_time_verdict(None).answer is Answer.FAILS


@pytest.mark.parametrize(
    ("field", "ask"),
    [
        ("trip_ms", lambda: rcd_time_verdict(-1)),
        ("multiple", lambda: rcd_time_verdict(20, multiple=6)),
        ("multiple", lambda: rcd_time_verdict(20, multiple=3)),
        ("socket_rating_a", lambda: rcd_rating_verdict(30, 63)),
        ("idn_ma", lambda: rcd_rating_verdict(0, 13)),
        ("reading_mohm", lambda: insulation_verdict(Decimal("NaN"))),
    ],
)
def test_what_no_meter_reads_is_refused(field, ask):
    with pytest.raises(Rejected, match=field):
        ask()
