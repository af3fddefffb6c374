"""Every combination of evidence: none lets a car charge without an accepted inspection and a check, or after a sign.

The walk judges by an oracle of its own, written by hand beside each state: what it allows at most. A test run walks
each state of inspections with every look that is clear and a drawn share of the others; the proof ``safety_states``
walks them all.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.households.domain.equipment import DeviceKind, Earthing, Place, RcdType, YesNo
from service.safety.domain.arithmetic.lost_pen import LostPenAnswer
from service.safety.domain.clearance import outlet_clearance
from service.safety.domain.evidence import CheckRecord, InspectionRecord, InspectionSource, ObservationReach
from service.safety.domain.extension_use import ExtensionDetails, ExtensionRecord
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.inspection_answers import ExtensionNamed, InspectionAnswers, Reading
from service.safety.domain.lead_clearance import lead_clearance
from service.safety.domain.levels import Clearance
from service.safety.domain.overrides import OverrideKind, OverrideRecord
from service.safety.domain.sign_reports import SignReport
from service.safety.domain.verdicts import Part, put_together
from tests.factories.signs import (
    GOOD_ANSWERS,
    LEAD,
    LONDON,
    OTHER_CIRCUIT,
    SAME_CIRCUIT,
    SOCKET,
    check_of,
    inspection_of,
    lead_test_of,
    looked_after,
    report_of,
    supervised_of,
)

AT = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
DAY = timedelta(days=1)
LONG_AGO = AT - 300 * DAY
FIT, LIMITS, NO, UNKNOWN = (
    Clearance.FIT_TO_USE, Clearance.USE_WITH_LIMITS, Clearance.DO_NOT_USE, Clearance.NOT_KNOWN,
)  # fmt: skip
RANK = {FIT: 3, LIMITS: 2, UNKNOWN: 1, NO: 0}

# name: changes of an inspection of 1 June that counts (None: there is none), and whether it counts and is in date
INSPECTIONS: dict[str, tuple[dict[str, Any] | None, bool]] = {
    "none": (None, False),
    "counting": ({}, True),
    "claimed": ({"source": InspectionSource.TYPED, "accepted_at": None, "has_document": False}, False),
    "unaccepted": ({"accepted_at": None}, False),
    "partial": ({"is_partial": True}, False),
    "no document": ({"has_document": False}, False),
    "limitation": ({"limitation": "board not opened"}, False),
    "expired": ({"next_due_on": AT.date()}, False),
    "superseded": ({"superseded_at": AT - DAY}, False),
}
# name: (code, reach, outlet it was found at, is it closed), and whether it stops the socket
CODES: dict[str, tuple[tuple[str, str, str, bool] | None, bool]] = {
    "none": (None, False),
    "C3": (("C3", "home", SOCKET.id, False), False),
    "C2 open": (("C2", "outlet", SOCKET.id, False), True),
    "C2 closed": (("C2", "outlet", SOCKET.id, True), False),
    "FI on the circuit": (("FI", "circuit", SAME_CIRCUIT.id, False), True),
    "C2 at the board": (("C2", "home", OTHER_CIRCUIT.id, False), True),
}
PME = {"earthing": Earthing.TN_C_S, "car_place": Place.OUTDOORS}
# name: changes of complete answers and his reason, and what they allow at most
ANSWERS: dict[str, tuple[dict[str, Any], str, Clearance]] = {
    "complete": ({}, "", FIT),
    "ev_mark missing": ({"ev_mark": YesNo.NOT_KNOWN}, "", UNKNOWN),
    "own_rcd missing": ({"own_rcd": YesNo.NOT_KNOWN}, "", UNKNOWN),
    "rcd_type missing": ({"rcd_type": RcdType.NOT_KNOWN}, "", UNKNOWN),
    "rcd_ma missing": ({"rcd_ma": None}, "", UNKNOWN),
    "rcd_time missing": ({"rcd_time_ms": Reading()}, "", UNKNOWN),
    "car_place missing": ({"car_place": Place.NOT_KNOWN}, "", UNKNOWN),
    "is_ring missing": ({"is_ring": YesNo.NOT_KNOWN}, "", UNKNOWN),
    "polarity missing": ({"polarity": YesNo.NOT_KNOWN}, "", UNKNOWN),
    "terminals missing": ({"terminals_tight": YesNo.NOT_KNOWN}, "", UNKNOWN),
    "insulation not tested": ({"insulation_mohm": Reading(not_tested_because="electronics")}, "", UNKNOWN),
    "zs missing": ({"zs_ohm": Reading()}, "", UNKNOWN),
    "device missing": ({"device_kind": DeviceKind.NOT_KNOWN}, "", UNKNOWN),
    "no EV mark": ({"ev_mark": YesNo.NO}, "", UNKNOWN),
    "no EV mark, reasoned": ({"ev_mark": YesNo.NO}, "tight", LIMITS),
    "shared RCD": ({"own_rcd": YesNo.NO}, "", UNKNOWN),
    "shared RCD, reasoned": ({"own_rcd": YesNo.NO}, "alone on it at night", LIMITS),
    "ring": ({"is_ring": YesNo.YES}, "", UNKNOWN),
    "ring, reasoned": ({"is_ring": YesNo.YES}, "joints opened", LIMITS),
    "Zs too high": ({"zs_ohm": Reading(Decimal("1.10"))}, "fine by me", NO),
    "slow RCD": ({"rcd_time_ms": Reading(Decimal(301))}, "", NO),
    "type AC": ({"rcd_type": RcdType.AC}, "", NO),
    "no RCD": ({"rcd_type": RcdType.NONE}, "", NO),
    "low insulation": ({"insulation_mohm": Reading(Decimal("0.99"))}, "", NO),
    "polarity wrong": ({"polarity": YesNo.NO}, "", NO),
    "loose terminals": ({"terminals_tight": YesNo.NO}, "", NO),
    "TT, earth too high": ({"earthing": Earthing.TT, "ze_ohm": Reading(Decimal(1700))}, "", NO),
    "TT": ({"earthing": Earthing.TT}, "", FIT),
    "PME outdoors, no answer": (PME, "", UNKNOWN),
    "PME outdoors, none": ({**PME, "lost_pen": LostPenAnswer.NONE}, "", NO),
    "PME outdoors, option iv": ({**PME, "lost_pen": LostPenAnswer.SUPPLY_VOLTAGE_DEVICE}, "", FIT),
    "PME outdoors, option i on one phase": ({**PME, "lost_pen": LostPenAnswer.BALANCED_THREE_PHASE}, "", NO),
    "PME indoors": ({**PME, "car_place": Place.INDOORS}, "", FIT),
    "earthing not known, no answer": ({"earthing": Earthing.NOT_KNOWN}, "", UNKNOWN),
}
# name: a supervised charge, and whether there is a clear one
SUPERVISED = {
    "none": ((), False),
    "half done": ((replace(supervised_of(SOCKET.id, AT - 100 * DAY), ended_at=None, is_clear=False),), False),
    "clear": ((supervised_of(SOCKET.id, AT - 100 * DAY),), True),
}
CHECKS: dict[str, tuple[tuple[CheckRecord, ...], bool]] = {
    "none": ((), False),
    "old": ((check_of(SOCKET.id, AT - 40 * DAY, lead=LEAD.id),), False),
    "incomplete": ((check_of(SOCKET.id, AT - DAY, lead=LEAD.id, is_clear=False),), False),
    "clear": ((check_of(SOCKET.id, AT - DAY, lead=LEAD.id),), True),
}
# name: a sign, whether it stands without an inspection that counts, and with one
SIGNS: dict[str, tuple[SignReport | None, bool, bool]] = {
    "none": (None, False, False),
    "open": (report_of("warm", reported_at=AT - 2 * DAY), True, True),
    "before the inspection": (report_of("warm", reported_at=LONG_AGO), True, False),
    "withdrawn": (report_of("warm", reported_at=AT - 2 * DAY, withdrawn_at=AT - DAY), False, False),
}


def stricter(clearance: Clearance, limit_a: int | None = None) -> tuple[OverrideRecord, ...]:
    kind, made_at = OverrideKind.STRICTER, AT - DAY
    return tuple(
        OverrideRecord(f"o-{item}", kind, *item, clearance, limit_a, None, None, "a reason", made_at)
        for item in (("outlet", SOCKET.id), ("lead", LEAD.id))
    )


def extension(**changes: Any) -> tuple[ExtensionRecord, ...]:
    usual: dict[str, Any] = {"mark": "drum 7", "size_mm2": Decimal("2.5"), "length_m": Decimal(10), "place": "indoors"}
    shape = {"is_coiled": "no", "is_chained": "no", "has_several_sockets": "no"}
    return (ExtensionRecord("extension", ExtensionDetails(SOCKET.id, **{**usual, **shape, **changes}), AT - DAY),)


# The lead that an inspection names, with his limit and, where he wrote none, his reason.
NAMING: dict[str, Any] = {"limit_a": 10, "limit_reason": "short and thick"}
THE_LEAD = ExtensionNamed("drum 7", Decimal("2.5"), Decimal(10), YesNo.YES)
# name: extension leads in use, does the inspection name one, and what they allow at most with one in force
EXTENSIONS: dict[str, tuple[tuple[ExtensionRecord, ...], bool, Clearance]] = {
    "none": ((), False, FIT),
    "named by the inspection": (extension(), True, LIMITS),
    "not named": (extension(), False, NO),
    "coiled, though named": (extension(is_coiled="yes"), True, NO),
}
OVERRIDES = {"none": ((), FIT), "stop": (stricter(NO), NO)}
# name: tests of the lead, and whether one counts as a look
LEAD_TESTS = {
    "none": ((), False),
    "passed": ((lead_test_of(LEAD.id, AT - DAY),), True),
    "passed long ago": ((lead_test_of(LEAD.id, AT - 90 * DAY),), False),
}


@dataclass(frozen=True)
class Walked:
    """How many states of an outlet and its lead were judged, and in how many a car may charge."""

    states: int
    allowed: int


def inspections_of(base: str, code: str, answers: str, *, names_one: bool = False) -> tuple[InspectionRecord, ...]:
    changes, reason = INSPECTIONS[base][0], ANSWERS[answers][1]
    found = CODES[code][0]
    records = []
    if changes is not None:
        given = answers_of(answers)
        records.append(inspection_of(SOCKET.id, "2026-06-01", answers=given, limit_reason=reason, circuit_id="ring"))
        if names_one:
            named = {**NAMING, "limit_reason": reason or NAMING["limit_reason"]}
            records[0] = replace(records[0], answers=replace(given, extension=THE_LEAD), **named)
        records[0] = replace(records[0], **changes)
    if found is not None:
        name, reach, outlet, is_closed = found
        # A claim of its own: codes stop whatever becomes of the rest.
        other = inspection_of(outlet, "2026-05-01", "2031-06-01", (name, "2026-05-02" if is_closed else None))
        circuit = OTHER_CIRCUIT.circuit_id if outlet == OTHER_CIRCUIT.id else "ring"
        finding = replace(other.observations[0], reach=ObservationReach(reach))
        source = InspectionSource.TYPED
        records.append(
            replace(other, observations=(finding,), circuit_id=circuit, source=source, answers=InspectionAnswers())
        )
    return tuple(records)


def answers_of(name: str) -> InspectionAnswers:
    return replace(GOOD_ANSWERS, **ANSWERS[name][0])


UNREASONED = frozenset({"no EV mark", "shared RCD", "ring"})


def worst(*clearances: Clearance) -> Clearance:
    return min(clearances, key=RANK.__getitem__)


def allowed_by_inspection(base: str, code: str, answers: str, *, names_one: bool) -> Clearance:
    """The oracle of what inspections alone allow at most."""
    changes, counts = INSPECTIONS[base]
    if CODES[code][1]:
        return NO
    is_known = changes is not None and base != "superseded"
    if is_known and ANSWERS[answers][2] is NO:
        return NO
    # With the lead named there is a limit, and a reason, where none was written for a departure.
    answered = LIMITS if names_one and answers in UNREASONED else ANSWERS[answers][2]
    return worst(answered, LIMITS if names_one else FIT) if counts else UNKNOWN


CLEAR_LOOKS = tuple(look for look in product(SUPERVISED, CHECKS, SIGNS, OVERRIDES) if look[:2] == ("clear", "clear"))
OTHER_LOOKS = tuple(look for look in product(SUPERVISED, CHECKS, SIGNS, OVERRIDES) if look[:2] != ("clear", "clear"))


def walk(use: str, *, drawn: int = len(OTHER_LOOKS), seed: int = 0) -> Walked:
    """Judge the combinations with one use of an extension lead, and hold the domain to the oracle.

    Beside the looks that are clear, so many others are drawn for each state of the inspections: as a rule all.
    """
    chance = random.Random(seed)
    extensions, names_one, most_through = EXTENSIONS[use]
    leads: dict[tuple[str, ...], bool] = {}
    for check, sign, override, test in product(CHECKS, SIGNS, OVERRIDES, LEAD_TESTS):
        report, stands, _ = SIGNS[sign]
        evidence = Evidence(
            signs=(report,) if report else (), checks=CHECKS[check][0], tests=LEAD_TESTS[test][0],
            overrides=OVERRIDES[override][0],
        )  # fmt: skip
        standing = lead_clearance(LEAD, evidence, at=AT, zone=LONDON)
        # A test after the report lifts it from the lead: one before does not.
        is_lifted = report is not None and any(
            each.done_at > report.reported_at for each in LEAD_TESTS[test][0] if each.is_passed
        )
        may = (CHECKS[check][1] or LEAD_TESTS[test][1]) and (not stands or is_lifted) and override != "stop"
        assert standing.clearance.allows_charging is may, (check, sign, override, test)
        leads[check, sign, override, test] = may
    states = allowed = 0
    for base, code, answers in product(INSPECTIONS, CODES, ANSWERS):
        if base == "none" and answers != "complete":
            continue  # without an inspection there are no answers
        records = inspections_of(base, code, answers, names_one=names_one)
        most = allowed_by_inspection(base, code, answers, names_one=names_one)
        through = NO if extensions and not INSPECTIONS[base][1] else most_through
        qualifies = INSPECTIONS[base][1] or base == "expired"
        for supervised, check, sign, override in (*CLEAR_LOOKS, *chance.sample(OTHER_LOOKS, drawn)):
            report, stands, stands_inspected = SIGNS[sign]
            # What lifts a sign counts and finds nothing itself; the open codes stand in a claim beside it.
            is_open = stands_inspected if qualifies and ANSWERS[answers][2] is not NO else stands
            evidence = Evidence(
                records, (report,) if report else (), (), CHECKS[check][0], SUPERVISED[supervised][0],
                OVERRIDES[override][0], extensions=extensions,
            )  # fmt: skip
            found = outlet_clearance(SOCKET, evidence, at=AT, zone=LONDON)
            looked = FIT if SUPERVISED[supervised][1] and CHECKS[check][1] else UNKNOWN
            wanted = worst(most, looked, NO if is_open else FIT, OVERRIDES[override][1], through)
            assert found.clearance is wanted, (base, code, answers, use, supervised, check, sign, override)
            may = found.clearance.allows_charging
            assert (found.limit_a is None) == (found.valid_until is None) == (not may)
            assert may or (found.missing and found.needs and found.next_step)
            if may:
                assert INSPECTIONS[base][1]
                assert CHECKS[check][1]
                assert SUPERVISED[supervised][1]
                assert sign in ("none", "before the inspection", "withdrawn")
                assert use in ("none", "named by the inspection")
            for test in LEAD_TESTS:
                states += 1
                allowed += may and leads[check, sign, override, test]
    return Walked(states, allowed)


@pytest.mark.parametrize("use", EXTENSIONS)
def test_in_no_combination_of_evidence_may_a_car_charge_that_should_not(
    use: str, record_property: Callable[..., None]
) -> None:
    seed, drawn = 4001, 6
    walked = walk(use, drawn=drawn, seed=seed)
    record_property("states", walked.states)
    print(f"extension lead {use}: {walked.states} states of outlet and lead, {walked.allowed} may charge, seed {seed}")
    assert walked.states == states_of_inspections() * (len(CLEAR_LOOKS) + drawn) * len(LEAD_TESTS)
    assert walked.allowed < walked.states // 100
    assert (walked.allowed > 0) is (use in ("none", "named by the inspection"))


def states_of_inspections() -> int:
    return (1 + (len(INSPECTIONS) - 1) * len(ANSWERS)) * len(CODES)


def test_no_part_makes_another_milder() -> None:
    parts = [Part(clearance, (), clearance.value, limit_a=10, until_on=AT.date()) for clearance in Clearance]
    for one, other in product(parts, parts):
        whole = put_together((one, other), LONDON)
        assert RANK[whole.clearance] == min(RANK[one.clearance], RANK[other.clearance])
        assert (whole.limit_a is None) is not whole.clearance.allows_charging


# --- properties -----------------------------------------------------------------------------------------------

MOMENTS = st.integers(-400 * 24, 0).map(lambda hours: AT + timedelta(hours=hours))


@st.composite
def homes(draw: Any) -> Evidence:
    """Draw evidence of the socket and its lead, all of it known by ``AT``."""
    base = draw(st.sampled_from(sorted(INSPECTIONS)))
    records = inspections_of(
        base, draw(st.sampled_from(sorted(CODES))), draw(st.sampled_from([*ANSWERS, *["complete"] * 20]))
    )
    records = tuple(record for record in records if record.recorded_at is None)
    signs = draw(st.lists(MOMENTS.map(lambda at: report_of("loose", reported_at=at, seen_at=at)), max_size=2))
    checks = draw(st.lists(MOMENTS.map(lambda at: check_of(SOCKET.id, at, lead=LEAD.id)), max_size=3))
    supervised = draw(st.sampled_from(sorted(SUPERVISED)))
    override = draw(st.sampled_from(sorted(OVERRIDES)))
    tests = [lead_test_of(LEAD.id, at) for at in draw(st.lists(MOMENTS, max_size=2))]
    return looked_after(
        records, signs, tests, checks=tuple(checks), supervised=SUPERVISED[supervised][0],
        overrides=OVERRIDES[override][0],
    )  # fmt: skip


def ranks(evidence: Evidence, at: datetime) -> tuple[int, int, int, int]:
    """Return how good the answers for the socket and the lead are: their words, and the currents they allow."""
    outlet = outlet_clearance(SOCKET, evidence, at=at, zone=LONDON)
    lead = lead_clearance(LEAD, evidence, at=at, zone=LONDON)
    return RANK[outlet.clearance], outlet.limit_a or 0, RANK[lead.clearance], lead.limit_a or 0


def no_better(worse: Evidence, evidence: Evidence, at: datetime = AT, later: datetime = AT) -> None:
    assert all(one <= other for one, other in zip(ranks(worse, later), ranks(evidence, at), strict=True))


@settings(max_examples=300, deadline=None)
@given(homes(), MOMENTS, st.sampled_from(sorted(ANSWERS)), st.integers(0, 2), st.sampled_from(["C1", "C2", "FI"]))
def test_worse_evidence_never_makes_anything_better(
    evidence: Evidence, at: datetime, answers: str, place: int, code: str
) -> None:
    no_better(replace(evidence, checks=evidence.checks[:place]), evidence)
    no_better(replace(evidence, supervised=()), evidence)
    no_better(replace(evidence, extensions=extension()), evidence)
    no_better(replace(evidence, tests=()), evidence)
    no_better(replace(evidence, signs=(*evidence.signs, report_of("scorch", reported_at=at))), evidence)
    no_better(replace(evidence, overrides=(*evidence.overrides, *stricter(LIMITS, 6))), evidence)
    finding = inspection_of(SOCKET.id, "2026-01-01", "2031-01-01", (code, None), source=InspectionSource.TYPED)
    no_better(replace(evidence, inspections=(*evidence.inspections, finding)), evidence)

    def with_each(**changes: Any) -> Evidence:
        return replace(evidence, inspections=tuple(replace(each, **changes) for each in evidence.inspections))

    for changes in (
        {"accepted_at": None}, {"has_document": False}, {"is_partial": True}, {"limitation": "sampled"},
        {"was_tested": YesNo.NO}, {"knew_use": YesNo.NO}, {"next_due_on": AT.date()}, {"limit_a": 6},
        {"source": InspectionSource.TYPED}, {"answers": InspectionAnswers()},
    ):  # fmt: skip
        if changes != {"answers": InspectionAnswers()} or not any(each.answers.failures() for each in
                                                                   evidence.inspections):  # fmt: skip
            no_better(with_each(**changes), evidence)
    if all(each.answers == GOOD_ANSWERS for each in evidence.inspections):
        no_better(with_each(answers=answers_of(answers)), evidence)


@settings(max_examples=300, deadline=None)
@given(homes(), st.integers(1, 4000))
def test_more_time_never_makes_anything_better(evidence: Evidence, hours: int) -> None:
    no_better(evidence, evidence, later=AT + timedelta(hours=hours))
