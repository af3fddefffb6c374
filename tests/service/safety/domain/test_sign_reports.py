"""Every state of evidence: what stops an outlet or a lead, and that each item is lifted by its own evidence alone.

The walk judges by an oracle of its own: who is stopped stands by hand in ``test_signs``, what lifts in
``AFTERWARDS`` below.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.households.domain.equipment import YesNo
from service.safety.domain.clearance import outlet_clearance
from service.safety.domain.evidence import (
    InspectionRecord,
    InspectionSource,
    LeadTestKind,
    LeadTestRecord,
    ObservationCode,
)
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.lead_clearance import lead_clearance
from service.safety.domain.levels import Clearance
from service.safety.domain.sign_reports import SignReport, lifting_inspection, resolved
from service.safety.domain.signs import SIGNS
from tests.factories.signs import (
    GOOD_ANSWERS,
    LEAD,
    LEADS,
    LONDON,
    NO_CIRCUIT,
    OTHER_CIRCUIT,
    OTHER_LEAD,
    OUTLETS,
    REPORTED_AT,
    SAME_CIRCUIT,
    SOCKET,
    TETHERED,
    inspection_of,
    lead_test_of,
    looked_after,
    report_of,
)
from tests.service.safety.domain.test_signs import STOPS

DAY = timedelta(days=1)
NEXT_DAY = REPORTED_AT + DAY
# name: (inspected, due, findings), and whether it alone would let an outlet be used in November and December 2026
INSPECTIONS: dict[str, tuple[tuple[Any, ...] | None, bool]] = {
    "none": (None, False),
    "valid": (("2026-06-01", "2031-06-01"), True),
    "lapsed": (("2020-06-01", "2025-06-01"), False),
    "open C1": (("2026-06-01", "2031-06-01", ("C1", None)), False),
    "open C2": (("2026-06-01", "2031-06-01", ("C2", None)), False),
    "open FI": (("2026-06-01", "2031-06-01", ("FI", None)), False),
    "closed C2": (("2026-06-01", "2031-06-01", ("C2", "2026-06-10")), True),
    "C3": (("2026-06-01", "2031-06-01", ("C3", None)), True),
}


@dataclass(frozen=True)
class After:
    """What happened after the report; whether that lifts it from outlets, and from leads (of a recall: not known)."""

    inspected: tuple[Any, ...] | None = None
    test: LeadTestKind | None = None
    is_passed: bool = True
    is_withdrawn: bool = False
    days_later: int = 1
    lifts_outlets: bool = False
    lifts_leads: bool = False

    @property
    def makes_fit(self) -> bool:
        """Whether its inspection by itself would let an outlet be used."""
        return self.inspected is not None and len(self.inspected) == 2

    @property
    def makes_unfit(self) -> bool:
        """Whether its inspection by itself stops an outlet."""
        return self.inspected is not None and len(self.inspected) > 2


AFTERWARDS: dict[str, After] = {
    "nothing": After(),
    "withdrawn": After(is_withdrawn=True),
    "inspected on a later day": After(inspected=("2026-11-26", "2031-11-26"), lifts_outlets=True),
    "inspected on the same day": After(inspected=("2026-11-25", "2031-11-25")),
    "inspected before": After(inspected=("2026-11-24", "2031-11-24")),
    "inspected later with an open C2": After(inspected=("2026-11-26", "2031-11-26", ("C2", None))),
    "lead passed a test": After(test=LeadTestKind.TEST, lifts_leads=True),
    "lead failed a test": After(test=LeadTestKind.TEST, is_passed=False),
    "lead passed a test before": After(test=LeadTestKind.TEST, days_later=-1),
    "lead replaced": After(test=LeadTestKind.REPLACEMENT, lifts_leads=True),
}
# after the report: the second before, the instant itself, the next day's noon and evening, three weeks on
INSTANTS = (timedelta(seconds=-1), timedelta(), DAY, 1.4 * DAY, 21 * DAY)
SIGN_NAMES: tuple[str | None, ...] = (None, *STOPS)


def expected_outlet(sign: str | None, outlet: Any, base: str, after: After, at: datetime) -> bool:
    """The oracle: may this outlet be used?"""
    later_on = date.fromisoformat(after.inspected[0]) if after.inspected else date.max
    is_later_known = later_on <= at.date()
    is_fit = INSPECTIONS[base][1] or (after.makes_fit and is_later_known)
    if base.startswith("open") or (after.makes_unfit and is_later_known):
        is_fit = False
    reach = STOPS[sign][0] if sign else "none"
    acts = {
        "none": (),
        "outlet": (SOCKET,),
        "circuit": (SOCKET, SAME_CIRCUIT, NO_CIRCUIT),
        "home": OUTLETS,
    }[reach]
    is_withdrawn = after.is_withdrawn and at >= NEXT_DAY
    is_lifted = after.lifts_outlets and is_later_known
    is_stopped = outlet in acts and at >= REPORTED_AT and not is_withdrawn and not is_lifted
    return is_fit and not is_stopped


def expected_lead(sign: str | None, lead: Any, after: After, at: datetime) -> bool:
    """The oracle: may this lead be used?"""
    acts = sign is not None and STOPS[sign][1] and lead is LEAD
    is_new_enough = after.test is LeadTestKind.REPLACEMENT or sign != "lead_recalled"
    is_lifted = after.lifts_leads and at >= NEXT_DAY and is_new_enough
    is_withdrawn = after.is_withdrawn and at >= NEXT_DAY
    return not (acts and at >= REPORTED_AT and not is_withdrawn and not is_lifted)


def test_in_no_state_of_evidence_may_a_car_charge_that_should_not(record_property: Callable[..., None]) -> None:
    states = pairs = allowed = 0
    for sign in SIGN_NAMES:
        for base, (record, _) in INSPECTIONS.items():
            for after in AFTERWARDS.values():
                signs = [report_of(sign, withdrawn_at=NEXT_DAY if after.is_withdrawn else None)] if sign else []
                inspections = [
                    inspection_of(outlet.id, *each)
                    for outlet in OUTLETS
                    for each in (record, after.inspected)
                    if each is not None
                ]
                tests = []
                if after.test:
                    done_at = REPORTED_AT + after.days_later * DAY
                    tests = [lead_test_of(LEAD.id, done_at, kind=after.test, is_passed=after.is_passed)]
                evidence = looked_after(inspections, signs, tests)
                for offset in INSTANTS:
                    at = REPORTED_AT + offset
                    states += 1
                    outlets = {}
                    for outlet in OUTLETS:
                        found = outlet_clearance(outlet, evidence, at=at, zone=LONDON)
                        wanted = expected_outlet(sign, outlet, base, after, at)
                        assert found.clearance.allows_charging == wanted, (sign, base, after, offset, outlet.id)
                        assert (found.limit_a is None) == (found.valid_until is None) == (not wanted)
                        outlets[outlet.id] = found.clearance
                    for lead in LEADS:
                        standing = lead_clearance(lead, evidence, at=at, zone=LONDON)
                        may_lead = expected_lead(sign, lead, after, at)
                        assert standing.clearance.allows_charging == may_lead, (sign, after, offset, lead.id)
                        for outlet in OUTLETS:
                            may_charge = outlets[outlet.id].allows_charging and standing.clearance.allows_charging
                            pairs += 1
                            allowed += may_charge
                            if may_charge:
                                assert INSPECTIONS[base][1] or after.makes_fit
    record_property("states", states)
    record_property("pairs", pairs)
    print(f"{states} states of evidence, {pairs} pairs of outlet and lead in them, {allowed} may charge")
    assert states == len(SIGN_NAMES) * len(INSPECTIONS) * len(AFTERWARDS) * len(INSTANTS) == 10_800
    assert 0 < allowed < pairs == states * len(OUTLETS) * len(LEADS)


def test_each_sign_stops_its_items_with_its_own_word_and_leaves_the_others_alone() -> None:
    valid = [inspection_of(outlet.id, "2026-06-01") for outlet in OUTLETS]
    for name, (reach, is_lead_stopped, effect) in STOPS.items():
        evidence = looked_after(valid, [report_of(name)])
        outlets = {
            outlet.id: outlet_clearance(outlet, evidence, at=REPORTED_AT, zone=LONDON).clearance.value
            for outlet in OUTLETS
        }
        stopped = {"none": 0, "outlet": 1, "circuit": 3, "home": 4}[reach]
        assert sorted(outlets.values()) == sorted([effect] * stopped + ["fit_to_use"] * (4 - stopped)), name
        lead, other = (
            lead_clearance(each, evidence, at=REPORTED_AT, zone=LONDON).clearance.value for each in (LEAD, OTHER_LEAD)
        )
        assert (lead, other) == (effect if is_lead_stopped else "use_with_limits", "use_with_limits"), name


def test_a_sign_that_names_no_lead_stops_every_lead_unless_the_outlet_has_its_own_cable() -> None:
    assert report_of("warm", lead_id=None).lead_ids == {LEAD.id, OTHER_LEAD.id}
    bare = SignReport("r", "warm", TETHERED.id, None, "own", REPORTED_AT, REPORTED_AT)
    assert resolved(bare, (*OUTLETS, TETHERED), LEADS).lead_ids == frozenset()
    assert report_of("outlet_replaced", lead_id=None).lead_ids == frozenset()


def test_a_sign_that_names_no_outlet_stops_every_outlet() -> None:
    assert report_of("warm", outlet_id=None, circuit_id=None).outlet_ids == {outlet.id for outlet in OUTLETS}


def test_a_trip_on_a_circuit_nobody_recorded_stops_every_outlet() -> None:
    report = report_of("tripped", outlet_id=NO_CIRCUIT.id, circuit_id=None)
    assert report.outlet_ids == {outlet.id for outlet in OUTLETS}


def test_moving_an_outlet_to_another_circuit_takes_nothing_away() -> None:
    moved = replace(SAME_CIRCUIT, circuit_id="radial")
    assert report_of("tripped").acts_on_outlet(moved)
    assert not report_of("tripped").acts_on_outlet(OTHER_CIRCUIT)
    assert report_of("tripped").acts_on_outlet(replace(OTHER_CIRCUIT, id="added since", circuit_id="ring"))


def test_a_lead_bought_since_is_another_lead() -> None:
    assert not report_of("warm", lead_id=None).acts_on_lead(replace(LEAD, id="bought since"))


def test_a_late_report_is_not_lifted_by_an_inspection_of_the_days_before_it() -> None:
    late = report_of("warm", seen_at=REPORTED_AT - 10 * DAY)
    between = [inspection_of(SOCKET.id, "2026-11-20")]
    found = outlet_clearance(SOCKET, looked_after(between, [late]), at=REPORTED_AT, zone=LONDON)
    assert found.clearance is Clearance.DO_NOT_USE


def test_the_day_of_a_report_is_the_homes_own() -> None:
    late = datetime(2026, 7, 1, 23, 30, tzinfo=UTC)  # half past midnight of the second in London
    report = report_of("warm", seen_at=late, reported_at=late)
    for inspected, wanted in (("2026-07-02", False), ("2026-07-03", True)):
        evidence = looked_after([inspection_of(SOCKET.id, inspected)], [report])
        found = outlet_clearance(SOCKET, evidence, at=late + 3 * DAY, zone=LONDON)
        assert found.clearance.allows_charging is wanted, inspected


def test_an_inspection_lifts_nothing_before_it_was_recorded() -> None:
    record = inspection_of(SOCKET.id, "2026-11-26", recorded_at=REPORTED_AT + 3 * DAY)
    evidence = looked_after([inspection_of(SOCKET.id, "2026-06-01"), record], [report_of("warm")])
    allowed = [
        outlet_clearance(SOCKET, evidence, at=REPORTED_AT + day * DAY, zone=LONDON).clearance.allows_charging
        for day in (1, 2, 3, 4)
    ]
    assert allowed == [False, False, True, True]


def test_a_lifted_sign_stays_lifted_when_the_inspection_lapses_but_the_outlet_is_not_known() -> None:
    evidence = looked_after([inspection_of(SOCKET.id, "2026-11-26", "2027-11-26")], [report_of("warm")])
    found = outlet_clearance(SOCKET, evidence, at=REPORTED_AT + 400 * DAY, zone=LONDON)
    assert found.clearance is Clearance.NOT_KNOWN


RANK = {
    Clearance.FIT_TO_USE: 3, Clearance.USE_WITH_LIMITS: 2, Clearance.NOT_KNOWN: 1, Clearance.DO_NOT_USE: 0,
}  # fmt: skip
FIRST = datetime(2026, 1, 1, tzinfo=UTC)
MOMENTS = st.integers(0, 400 * 24).map(lambda hours: FIRST + timedelta(hours=hours))
DAYS = st.integers(0, 400).map(lambda days: FIRST.date() + timedelta(days=days))


@st.composite
def reports(draw: Any) -> SignReport:
    at = draw(MOMENTS)
    withdrawn_at = draw(st.none() | st.integers(0, 2000).map(lambda hours: at + timedelta(hours=hours)))
    return report_of(
        draw(st.sampled_from(sorted(SIGNS))), id=f"r{draw(st.integers(0, 10**6))}", seen_at=at, reported_at=at,
        withdrawn_at=withdrawn_at, outlet_id=draw(st.sampled_from([None, *(outlet.id for outlet in OUTLETS)])),
        lead_id=draw(st.sampled_from([None, LEAD.id, OTHER_LEAD.id])), circuit_id=draw(st.sampled_from([None, "ring"])),
    )  # fmt: skip


@st.composite
def inspections(draw: Any) -> InspectionRecord:
    inspected_on = draw(DAYS)
    findings = []
    for code in draw(st.lists(st.sampled_from(list(ObservationCode)), max_size=2)):
        closed = draw(st.none() | st.integers(0, 100).map(lambda days: str(inspected_on + timedelta(days=days))))
        findings.append((code.value, closed))
    due = inspected_on + timedelta(days=draw(st.integers(1, 600)))
    return inspection_of(draw(st.sampled_from([SOCKET.id, SAME_CIRCUIT.id])), str(inspected_on), str(due), *findings)


@st.composite
def lead_tests(draw: Any) -> LeadTestRecord:
    kind = draw(st.sampled_from(list(LeadTestKind)))
    is_passed = kind is LeadTestKind.REPLACEMENT or draw(st.booleans())
    return lead_test_of(draw(st.sampled_from([LEAD.id, OTHER_LEAD.id])), draw(MOMENTS), kind=kind, is_passed=is_passed)


Signs = st.lists(reports(), max_size=4)
Records = st.lists(inspections(), max_size=3)
Tests = st.lists(lead_tests(), max_size=3)


def until(at: datetime, evidence: Evidence) -> Evidence:
    """Return the evidence without what is looked at after an instant."""
    return replace(
        evidence,
        checks=tuple(check for check in evidence.checks if check.made_at <= at),
        supervised=tuple(each for each in evidence.supervised if each.ended_at is not None and each.ended_at <= at),
    )


def outlet_rank(
    signs: list[SignReport], records: list[InspectionRecord], at: datetime, known: datetime | None = None
) -> int:
    """Return how good the socket's clearance is at an instant, by what was looked at until ``known``."""
    evidence = until(known or at, looked_after(records, signs))
    return RANK[outlet_clearance(SOCKET, evidence, at=at, zone=LONDON).clearance]


def lead_rank(
    signs: list[SignReport], tests: list[LeadTestRecord], at: datetime, known: datetime | None = None
) -> int:
    """Return how good the lead's clearance is at an instant, by what was looked at until ``known``."""
    evidence = until(known or at, looked_after((), signs, tests))
    return RANK[lead_clearance(LEAD, evidence, at=at, zone=LONDON).clearance]


@settings(max_examples=300, deadline=None)
@given(Signs, reports(), Records, Tests, MOMENTS)
def test_one_more_sign_never_makes_anything_better(
    signs: list[SignReport], one: SignReport, records: list[InspectionRecord], tests: list[LeadTestRecord], at: datetime
) -> None:
    assert outlet_rank([*signs, one], records, at) <= outlet_rank(signs, records, at)
    assert lead_rank([*signs, one], tests, at) <= lead_rank(signs, tests, at)
    kept = [replace(each, withdrawn_at=None) for each in signs]
    assert outlet_rank(kept, records, at) <= outlet_rank(signs, records, at)
    assert lead_rank(kept, tests, at) <= lead_rank(signs, tests, at)


@settings(max_examples=300, deadline=None)
@given(Signs, Records, Tests, MOMENTS)
def test_worse_findings_never_make_anything_better(
    signs: list[SignReport], records: list[InspectionRecord], tests: list[LeadTestRecord], at: datetime
) -> None:
    reopened = [
        replace(record, observations=tuple(replace(found, closed_on=None) for found in record.observations))
        for record in records
    ]
    assert outlet_rank(signs, reopened, at) <= outlet_rank(signs, records, at)
    failed = [replace(test, is_passed=False) for test in tests]
    assert lead_rank(signs, failed, at) <= lead_rank(signs, tests, at)
    assert lead_rank(signs, [], at) <= lead_rank(signs, tests, at)


@settings(max_examples=300, deadline=None)
@given(Signs, Records, Tests, MOMENTS, st.integers(1, 3000))
def test_time_alone_never_makes_anything_better(
    signs: list[SignReport], records: list[InspectionRecord], tests: list[LeadTestRecord], at: datetime, hours: int
) -> None:
    # All evidence for the better is from before: between the two instants nothing is recorded that could lift.
    day = at.astimezone(LONDON).date()
    signs = [each for each in signs if each.withdrawn_at is None or each.withdrawn_at <= at]
    tests = [test for test in tests if test.done_at <= at]
    records = [
        record
        for record in records
        if record.inspected_on <= day
        and all(found.closed_on is None or found.closed_on <= day for found in record.observations)
    ]
    later = at + timedelta(hours=hours)
    assert outlet_rank(signs, records, later, at) <= outlet_rank(signs, records, at)
    assert lead_rank(signs, tests, later, at) <= lead_rank(signs, tests, at)


def test_an_inspection_with_an_open_code_lifts_nothing_until_it_is_closed() -> None:
    for closed, wanted in ((None, False), ("2026-11-27", True)):
        record = inspection_of(SOCKET.id, "2026-11-26", "2031-11-26", ("C2", closed))
        at = REPORTED_AT + 5 * DAY
        found = lifting_inspection(report_of("warm"), SOCKET, [record], at=at, zone=LONDON)
        assert (found is not None) is wanted


@pytest.mark.parametrize(
    "changes",
    [
        {"source": InspectionSource.TYPED},
        {"accepted_at": None},
        {"has_document": False},
        {"is_partial": True},
        {"limitation": "cover not removed"},
        {"superseded_at": REPORTED_AT + 3 * DAY},
        {"answers": replace(GOOD_ANSWERS, polarity=YesNo.NO)},
    ],
)
def test_an_inspection_that_does_not_count_or_fails_lifts_nothing(changes: dict[str, Any]) -> None:
    later = inspection_of(SOCKET.id, "2026-11-26", **changes)
    at = REPORTED_AT + 5 * DAY
    assert lifting_inspection(report_of("warm"), SOCKET, [later], at=at, zone=LONDON) is None
