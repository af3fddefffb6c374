"""Clearance of an outlet from its evidence, at any instant."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.households.domain.equipment import Earthing, Place, RcdType, YesNo
from service.households.domain.homes import OutletInputs
from service.safety.domain.arithmetic.lost_pen import LostPenAnswer
from service.safety.domain.circuit_limit import RunInputs
from service.safety.domain.clearance import Clearance, Need, OutletClearance, outlet_clearance, worst_of
from service.safety.domain.evidence import InspectionRecord, InspectionSource, ObservationReach
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.inspection_answers import Reading
from service.safety.domain.intervals import SchemeInterval
from tests.factories.signs import (
    GOOD_ANSWERS,
    LONDON,
    OTHER_CIRCUIT,
    SAME_CIRCUIT,
    SOCKET,
    check_of,
    inspection_of,
    looked_after,
    supervised_of,
)

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
DAY = timedelta(days=1)
POINT = OTHER_CIRCUIT


def inspection(
    inspected: str = "2026-06-01", due: str = "2031-06-01", *findings: tuple[str, str | None], **changes: Any
) -> InspectionRecord:
    return inspection_of(SOCKET.id, inspected, due, *findings, **changes)


def answers(**changes: Any) -> InspectionRecord:
    """Return an inspection with some answers changed."""
    return inspection(answers=replace(GOOD_ANSWERS, **changes))


def clearance_of(
    *inspections: InspectionRecord, outlet: OutletInputs = SOCKET, at: datetime = NOON, zone: ZoneInfo = LONDON,
    evidence: Evidence | None = None, **changes: Any,
) -> OutletClearance:  # fmt: skip
    """Return the clearance of the socket at noon, otherwise looked after."""
    return outlet_clearance(outlet, evidence or looked_after(inspections, **changes), at=at, zone=zone)


def test_without_an_inspection_it_is_not_known_and_says_what_is_missing() -> None:
    found = clearance_of()
    assert (found.clearance, found.limit_a, found.valid_until) == (Clearance.NOT_KNOWN, None, None)
    assert (found.missing, found.needs) == (("an inspection that names this outlet",), (Need.INSPECTION,))
    assert "electrician" in found.next_step


def test_an_inspection_of_another_outlet_says_nothing_of_this_one() -> None:
    assert clearance_of(inspection_of(POINT.id, "2026-06-01")).clearance is Clearance.NOT_KNOWN


def test_with_all_its_evidence_it_is_fit_until_the_first_of_it_ends() -> None:
    found = clearance_of(inspection())
    assert (found.clearance, found.limit_a) == (Clearance.FIT_TO_USE, 10)
    assert found.valid_until == datetime(2026, 12, 1, tzinfo=UTC)  # checked on 1 November, again a month later
    assert found.next_step == "Do the next check before 2026-12-01."
    assert "recorded as inspected on 2026-06-01 by Hollin Wiring (invented), certificate C-1" in found.evidence
    assert "certified" not in found.evidence


def test_the_inspections_own_date_ends_it_if_it_is_the_sooner() -> None:
    found = clearance_of(inspection("2021-11-28", "2026-11-28"))
    assert found.valid_until == datetime(2026, 11, 28, tzinfo=UTC)
    assert found.next_step == "Book the next inspection before 2026-11-28."


def test_evidence_lapses_at_local_midnight_and_not_a_moment_earlier() -> None:
    record = inspection("2026-01-10", "2026-07-15")
    midnight = datetime(2026, 7, 14, 23, 0, tzinfo=UTC)  # summer time in London
    before, after = (clearance_of(record, at=midnight + timedelta(seconds=step)) for step in (-1, 0))
    assert (before.clearance, before.valid_until) == (Clearance.FIT_TO_USE, midnight)
    assert after.clearance is Clearance.NOT_KNOWN
    assert after.missing == ("an inspection after the one that was due again on 2026-07-15",)


@pytest.mark.parametrize(
    ("changes", "need", "words"),
    [
        ({"source": InspectionSource.TYPED}, Need.INSPECTION, "a claim"),
        ({"source": InspectionSource.IMPORT}, Need.INSPECTION, "a claim"),
        ({"accepted_at": None}, Need.ACCEPTANCE, "acceptance"),
        ({"accepted_at": None, "refused_at": NOON - DAY}, Need.INSPECTION, "refused"),
        ({"has_document": False}, Need.DOCUMENT, "certificate itself"),
        ({"is_partial": True}, Need.READINGS, "readings"),
        ({"was_tested": YesNo.NOT_KNOWN}, Need.INSPECTION, "tested, not sampled"),
        ({"was_tested": YesNo.NO}, Need.INSPECTION, "tested, not sampled"),
        ({"limitation": "loft not reached"}, Need.INSPECTION, "loft not reached"),
        ({"knew_use": YesNo.NO}, Need.INSPECTION, "knew a car charges here"),
        ({"circuit_id": "radial"}, Need.INSPECTION, "the circuit that the outlet is on now"),
    ],
)
def test_an_inspection_that_does_not_count_leaves_it_not_known_and_says_why(
    changes: dict[str, Any], need: Need, words: str
) -> None:
    found = clearance_of(inspection(**changes))
    assert (found.clearance, found.needs) == (Clearance.NOT_KNOWN, (need,))
    assert words in found.missing[0]
    assert found.evidence.endswith("it does not count")


def test_an_inspection_from_before_the_outlet_was_as_it_is_does_not_count() -> None:
    for since, wanted in (("2026-06-01", Clearance.FIT_TO_USE), ("2026-06-02", Clearance.NOT_KNOWN)):
        outlet = replace(SOCKET, since_on=datetime.fromisoformat(since).date())
        assert clearance_of(inspection(), outlet=outlet).clearance is wanted


def test_a_record_counts_only_from_when_it_was_known() -> None:
    record = inspection(recorded_at=NOON, accepted_at=NOON + 3 * DAY)
    asked = {day: clearance_of(record, at=NOON + day * DAY) for day in (-1, 1, 3)}
    assert asked[-1].missing == ("an inspection that names this outlet",)
    assert asked[1].needs == (Need.ACCEPTANCE,)
    assert asked[3].needs == (Need.SUPERVISED_CHARGE,)
    assert clearance_of(record, at=NOON + 3 * DAY + timedelta(hours=3)).clearance is Clearance.FIT_TO_USE


def test_a_corrected_inspection_counts_until_its_correction() -> None:
    first = inspection(superseded_at=NOON)
    second = inspection(answers=replace(GOOD_ANSWERS, zs_ohm=Reading(Decimal(5))), recorded_at=NOON, accepted_at=NOON)
    before, after = (clearance_of(first, second, at=NOON + step * DAY).clearance for step in (-1, 0))
    assert (before, after) == (Clearance.FIT_TO_USE, Clearance.DO_NOT_USE)


@pytest.mark.parametrize("code", ["C1", "C2", "FI"])
@pytest.mark.reference
def test_an_open_code_that_makes_a_report_unsatisfactory_stops_use(code: str, reference) -> None:  # type: ignore[no-untyped-def]
    found = clearance_of(inspection("2026-06-01", "2031-06-01", (code, None)))
    source = "Best Practice Guide 4 codes as quoted by trade pages: any of C1, C2, FI is unsatisfactory"
    reference(source=source, expected="do_not_use", got=found.clearance.value)
    assert (found.limit_a, found.valid_until) == (None, None)
    assert code in found.evidence


@pytest.mark.reference
def test_c3_alone_does_not_stop_use(reference) -> None:  # type: ignore[no-untyped-def]
    found = clearance_of(inspection("2026-06-01", "2031-06-01", ("C3", None)))
    source = "Best Practice Guide 4 codes as quoted by trade pages: C3 alone is satisfactory"
    reference(source=source, expected="fit_to_use", got=found.clearance.value)


@pytest.mark.parametrize(
    "changes",
    [{"source": InspectionSource.TYPED}, {"accepted_at": None}, {"is_partial": True}, {"due": "2026-06-02"}],
)
def test_an_open_code_stops_use_whatever_else_is_wrong_with_its_inspection(changes: dict[str, Any]) -> None:
    due = changes.pop("due", "2031-06-01")
    bad = inspection("2026-06-01", due, ("C2", None), **changes)
    assert clearance_of(bad, inspection("2026-07-01")).clearance is Clearance.DO_NOT_USE


def test_a_code_stands_until_its_closing_was_recorded() -> None:
    record = inspection("2026-06-01", "2031-06-01", ("C1", "2026-06-10"))
    late = replace(record, observations=(replace(record.observations[0], closed_at=NOON),))
    for each, wanted in ((record, [0, 1]), (late, [0, 0])):
        on = [clearance_of(each, at=datetime(2026, 6, day, 12, tzinfo=UTC)).clearance for day in (9, 10)]
        assert on == [[Clearance.DO_NOT_USE, Clearance.FIT_TO_USE][step] for step in wanted]
    assert clearance_of(late, at=NOON).clearance is Clearance.FIT_TO_USE


@pytest.mark.parametrize(
    ("reach", "stopped"),
    [("outlet", {"socket"}), ("circuit", {"socket", "porch", "shed"}), ("home", {"socket", "porch", "shed", "point"})],
)
def test_a_code_reaches_what_its_observation_says(reach: str, stopped: set[str]) -> None:
    outlets = {each: replace(SOCKET, id=each, circuit_id=on) for each, on in (
        ("socket", "ring"), ("porch", "ring"), ("shed", None), ("point", "radial"),
    )}  # fmt: skip
    bad = inspection("2026-06-01", "2031-06-01", ("C2", None), circuit_id="ring")
    bad = replace(bad, observations=(replace(bad.observations[0], reach=ObservationReach(reach)),))
    others = [inspection_of(each, "2026-06-01") for each in outlets]
    evidence = looked_after([bad, *others], outlets=[*outlets.values()])
    found = {each: clearance_of(outlet=outlet, evidence=evidence).clearance for each, outlet in outlets.items()}
    assert {each for each, clearance in found.items() if clearance is Clearance.DO_NOT_USE} == stopped
    assert {clearance for each, clearance in found.items() if each not in stopped} <= {Clearance.FIT_TO_USE}


FAILING: dict[str, dict[str, Any]] = {
    "polarity": {"polarity": YesNo.NO},
    "loose": {"terminals_tight": YesNo.NO},
    "type AC": {"rcd_type": RcdType.AC},
    "no RCD": {"rcd_type": RcdType.NONE},
    "100 mA": {"rcd_ma": 100},
    "slow RCD": {"rcd_time_ms": Reading(Decimal(301))},
    "insulation": {"insulation_mohm": Reading(Decimal("0.9"))},
    "loop": {"zs_ohm": Reading(Decimal("1.2"))},
    "lost PEN": {"earthing": Earthing.TN_C_S, "lost_pen": LostPenAnswer.NONE},
}


@pytest.mark.parametrize("case", FAILING)
def test_a_recorded_answer_that_fails_stops_use_with_its_working(case: str) -> None:
    found = clearance_of(answers(**FAILING[case]))
    assert found.clearance is Clearance.DO_NOT_USE
    assert any(step.what == "Readings and findings that fail" for step in found.working.steps)


def test_a_failed_reading_is_lifted_by_a_later_inspection_that_counts_and_by_no_other() -> None:
    bad = answers(zs_ohm=Reading(Decimal(5)))
    assert clearance_of(bad, inspection("2026-07-01")).clearance is Clearance.FIT_TO_USE
    for later in (
        inspection("2026-06-01"),
        inspection("2026-07-01", accepted_at=None),
        inspection("2026-07-01", source=InspectionSource.TYPED),
        inspection("2026-07-01", answers=replace(GOOD_ANSWERS, polarity=YesNo.NO)),
    ):
        assert clearance_of(bad, later).clearance is Clearance.DO_NOT_USE


MISSING: dict[str, dict[str, Any]] = {
    "EV": {"ev_mark": YesNo.NOT_KNOWN},
    "RCD of its own": {"own_rcd": YesNo.NOT_KNOWN},
    "type of its RCD": {"rcd_type": RcdType.NOT_KNOWN},
    "rated residual current": {"rcd_ma": None},
    "trip time": {"rcd_time_ms": Reading(not_tested_because="no supply")},
    "earthing": {"earthing": Earthing.NOT_KNOWN, "car_place": Place.INDOORS},
    "where the car stands": {"car_place": Place.NOT_KNOWN},
    "combined earth and neutral": {"earthing": Earthing.TN_C_S},
    "on a ring": {"is_ring": YesNo.NOT_KNOWN},
    "polarity": {"polarity": YesNo.NOT_KNOWN},
    "terminals": {"terminals_tight": YesNo.NOT_KNOWN},
    "insulation": {"insulation_mohm": Reading()},
    "loop impedance Zs": {"zs_ohm": Reading()},
    "device that protects": {"device_a": None},
}


@pytest.mark.parametrize("words", MISSING)
def test_an_answer_that_is_not_recorded_leaves_it_not_known_and_is_named(words: str) -> None:
    found = clearance_of(answers(**MISSING[words]))
    assert (found.clearance, found.needs) == (Clearance.NOT_KNOWN, (Need.ANSWERS,))
    assert len(found.missing) == 1
    assert words in found.missing[0]


def test_a_car_that_the_member_says_stands_outdoors_does_so() -> None:
    indoors = answers(earthing=Earthing.TN_C_S, car_place=Place.INDOORS)
    assert clearance_of(indoors).clearance is Clearance.FIT_TO_USE
    assert clearance_of(indoors, outlet=replace(SOCKET, car_place="outdoors")).clearance is Clearance.NOT_KNOWN


@pytest.mark.parametrize("changes", [{"ev_mark": YesNo.NO}, {"own_rcd": YesNo.NO}, {"is_ring": YesNo.YES}])
def test_a_departure_is_used_with_limits_with_his_reason_and_not_known_without(changes: dict[str, Any]) -> None:
    bare = answers(**changes)
    assert (clearance_of(bare).clearance, clearance_of(bare).needs) == (Clearance.NOT_KNOWN, (Need.REASON,))
    reasoned = clearance_of(replace(bare, limit_reason="tested by hand at 10 A"))
    assert (reasoned.clearance, reasoned.limit_a) == (Clearance.USE_WITH_LIMITS, 10)


def test_a_charging_point_needs_no_ev_mark_and_no_supervised_charge() -> None:
    record = inspection_of(POINT.id, "2026-06-01", answers=replace(GOOD_ANSWERS, ev_mark=YesNo.NOT_KNOWN))
    found = clearance_of(record, outlet=POINT, supervised=())
    assert (found.clearance, found.limit_a) == (Clearance.FIT_TO_USE, 32)


def test_a_socket_needs_one_clear_supervised_charge_after_its_first_accepted_inspection() -> None:
    record = inspection()
    accepted_at = record.accepted_at
    assert accepted_at is not None
    for charge, wanted in (
        (supervised_of(SOCKET.id, accepted_at), True),
        (supervised_of(SOCKET.id, accepted_at - timedelta(hours=1)), False),
        (supervised_of(SOCKET.id, accepted_at, is_clear=False), False),
        (supervised_of(SAME_CIRCUIT.id, accepted_at), False),
        (replace(supervised_of(SOCKET.id, accepted_at), ended_at=None), False),
        (supervised_of(SOCKET.id, NOON - timedelta(hours=1)), False),
    ):
        found = clearance_of(record, supervised=(charge,))
        assert found.clearance.allows_charging is wanted
        assert found.awaits_supervised_charge is not wanted
        assert wanted or "awake" in found.next_step


def test_an_inspection_after_the_first_needs_no_second_supervised_charge() -> None:
    charge = supervised_of(SOCKET.id, datetime(2026, 6, 2, tzinfo=UTC))
    assert clearance_of(inspection(), inspection("2026-11-01"), supervised=(charge,)).clearance.allows_charging


def test_a_socket_is_checked_monthly_and_a_point_yearly() -> None:
    checked = datetime(2026, 10, 31, 9, tzinfo=UTC)
    lasts = {
        SOCKET.id: (SOCKET, datetime(2026, 11, 30, tzinfo=UTC)),
        POINT.id: (POINT, datetime(2027, 10, 30, 23, tzinfo=UTC)),
    }
    for outlet, until in lasts.values():
        evidence = looked_after([inspection_of(outlet.id, "2026-06-01")], checked=[checked])
        found = [clearance_of(outlet=outlet, evidence=evidence, at=at) for at in (until - timedelta(seconds=1), until)]
        assert [each.clearance.allows_charging for each in found] == [True, False]
        assert found[0].valid_until == until
        assert found[1].needs == (Need.CHECK,)


def test_a_check_that_is_not_clear_or_of_another_outlet_is_none() -> None:
    for check in (check_of(SOCKET.id, NOON, is_clear=False), check_of(SAME_CIRCUIT.id, NOON)):
        assert clearance_of(inspection(), checks=(check,)).clearance is Clearance.NOT_KNOWN


def test_a_scheme_may_shorten_the_interval_and_never_lengthen_it() -> None:
    days = {
        scheme: clearance_of(inspection(), scheme_rules=scheme).valid_until
        for scheme in ((), (SchemeInterval("check_socket", NOON.date(), days=27),),
                       (SchemeInterval("check_socket", NOON.date(), days=90),))
    }  # fmt: skip
    assert [until and until.date().isoformat() for until in days.values()] == ["2026-12-01", "2026-11-28", "2026-12-01"]


def test_the_least_current_governs() -> None:
    wide = replace(SOCKET, limit_a=13)
    assert clearance_of(inspection(), outlet=wide).limit_a == 10
    allowed = clearance_of(inspection(limit_a=8, limit_reason="old socket"), outlet=wide)
    assert (allowed.clearance, allowed.limit_a) == (Clearance.USE_WITH_LIMITS, 8)
    runs = {"ring": (RunInputs("board"), RunInputs("fused_spur", device_a=6))}
    assert clearance_of(inspection(), outlet=wide, runs=runs).limit_a == 6


def test_the_newest_inspection_that_counts_decides_even_if_an_older_one_would_last_longer() -> None:
    older, newer = inspection("2024-01-01", "2034-01-01"), inspection("2025-01-01", "2026-01-01")
    assert clearance_of(older, newer).clearance is Clearance.NOT_KNOWN
    assert clearance_of(newer, older).clearance is Clearance.NOT_KNOWN
    claim = replace(newer, source=InspectionSource.TYPED)
    assert clearance_of(older, claim).clearance is Clearance.FIT_TO_USE


def test_of_two_on_one_day_the_later_recorded_decides() -> None:
    first = inspection("2026-06-01", "2031-06-01", recorded_at=datetime(2026, 6, 1, 9, tzinfo=UTC))
    second = inspection("2026-06-01", "2026-11-26", recorded_at=datetime(2026, 6, 1, 10, tzinfo=UTC))
    for order in ((first, second), (second, first)):
        assert clearance_of(*order).valid_until == datetime(2026, 11, 26, tzinfo=UTC)


def test_every_answer_comes_with_its_working() -> None:
    for found in (
        clearance_of(),
        clearance_of(inspection()),
        clearance_of(inspection("2026-06-01", "2031-06-01", ("C1", None))),
        clearance_of(inspection(accepted_at=None)),
        clearance_of(answers(ev_mark=YesNo.NO)),
    ):
        assert found.working.steps
        assert all(step.rule and step.source and step.result for step in found.working.steps)
        assert found.next_step


def test_the_worst_of_a_home_is_what_stops_most() -> None:
    fit, limits, stop, unknown = (
        Clearance.FIT_TO_USE, Clearance.USE_WITH_LIMITS, Clearance.DO_NOT_USE, Clearance.NOT_KNOWN,
    )
    assert worst_of([fit, unknown, stop, limits]) is stop
    assert worst_of([fit, unknown, limits]) is unknown
    assert worst_of([fit, limits]) is limits
    assert worst_of([]) is unknown
    assert [each for each in Clearance if each.allows_charging] == [fit, limits]
