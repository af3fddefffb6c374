"""Clearance of an outlet from its evidence, at any instant."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from service.households.domain.homes import OutletInputs
from service.safety.domain.clearance import Clearance, OutletClearance, outlet_clearance, worst_of
from service.safety.domain.evidence import CodedObservation, InspectionRecord, ObservationCode

LONDON = ZoneInfo("Europe/London")
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
SOCKET = OutletInputs("socket", "garage", "socket_13a", None, "indoors", 10, 1, 1)
POINT = OutletInputs("point", "drive", "charging_point", False, "outdoors", 32, 1, 2)


def inspection(
    inspected: str,
    due: str,
    *findings: tuple[str, str | None],
    outlet: str = "socket",
    number: str = "C-1",
) -> InspectionRecord:
    """Return a record; a finding is a code and the date that closed it, if one did."""
    observations = tuple(
        CodedObservation(ObservationCode(code), "", date.fromisoformat(closed) if closed else None)
        for code, closed in findings
    )
    return InspectionRecord(
        number, outlet, date.fromisoformat(inspected), date.fromisoformat(due), "Hollin Wiring", number, observations
    )


def clearance_of(
    *inspections: InspectionRecord, outlet: OutletInputs = SOCKET, at: datetime = NOON, zone: ZoneInfo = LONDON
) -> OutletClearance:
    """Return the clearance of the socket at noon."""
    return outlet_clearance(outlet, inspections, at=at, zone=zone)


def test_without_an_inspection_it_is_not_known_and_says_what_is_missing() -> None:
    found = clearance_of()
    assert found.clearance is Clearance.NOT_KNOWN
    assert (found.limit_a, found.valid_until) == (None, None)
    assert found.missing == ("an inspection that names this outlet",)
    assert "electrician" in found.next_step


def test_an_inspection_of_another_outlet_says_nothing_of_this_one() -> None:
    assert clearance_of(inspection("2026-06-01", "2031-06-01", outlet="point")).clearance is Clearance.NOT_KNOWN


def test_an_inspection_in_date_makes_it_fit_until_the_midnight_of_the_due_date() -> None:
    found = clearance_of(inspection("2026-06-01", "2031-06-01"))
    assert found.clearance is Clearance.FIT_TO_USE
    # 1 June is summer time in London: local midnight is 23:00 UTC of the day before.
    assert found.valid_until == datetime(2031, 5, 31, 23, 0, tzinfo=UTC)
    assert found.evidence == "recorded as inspected on 2026-06-01 by Hollin Wiring, certificate C-1"
    assert "certified" not in found.evidence


def test_a_socket_is_held_to_its_limit_for_hours_and_a_point_to_its_own() -> None:
    wide = OutletInputs("socket", "garage", "socket_13a", None, "indoors", 13, 1, 1)
    assert clearance_of(inspection("2026-06-01", "2031-06-01"), outlet=wide).limit_a == 10
    assert clearance_of(inspection("2026-06-01", "2031-06-01", outlet="point"), outlet=POINT).limit_a == 32


def test_evidence_lapses_at_local_midnight_and_not_a_moment_earlier() -> None:
    record = inspection("2021-07-01", "2026-07-01")
    midnight = datetime(2026, 6, 30, 23, 0, tzinfo=UTC)
    before, after = (clearance_of(record, at=midnight + timedelta(seconds=step)) for step in (-1, 0))
    assert (before.clearance, before.valid_until) == (Clearance.FIT_TO_USE, midnight)
    assert after.clearance is Clearance.NOT_KNOWN
    assert "due again on 2026-07-01" in after.evidence


def test_an_inspection_counts_from_its_own_local_day() -> None:
    record = inspection("2026-11-25", "2031-11-25")
    assert clearance_of(record, at=datetime(2026, 11, 24, 23, 59, tzinfo=UTC)).clearance is Clearance.NOT_KNOWN
    assert clearance_of(record, at=datetime(2026, 11, 25, 0, 0, tzinfo=UTC)).clearance is Clearance.FIT_TO_USE
    berlin = ZoneInfo("Europe/Berlin")
    early = clearance_of(record, at=datetime(2026, 11, 24, 23, 0, tzinfo=UTC), zone=berlin)
    assert early.clearance is Clearance.FIT_TO_USE


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


def test_an_open_code_of_an_older_inspection_still_stops_use() -> None:
    records = (inspection("2024-06-01", "2029-06-01", ("C2", None)), inspection("2026-06-01", "2031-06-01"))
    assert clearance_of(*records).clearance is Clearance.DO_NOT_USE


def test_an_open_code_stops_use_after_the_inspection_has_lapsed_too() -> None:
    assert clearance_of(inspection("2020-06-01", "2025-06-01", ("FI", None))).clearance is Clearance.DO_NOT_USE


def test_a_code_stands_until_the_day_that_closes_it() -> None:
    record = inspection("2026-06-01", "2031-06-01", ("C1", "2026-06-10"))
    on = {day: clearance_of(record, at=datetime(2026, 6, day, 12, tzinfo=UTC)).clearance for day in (9, 10)}
    assert on == {9: Clearance.DO_NOT_USE, 10: Clearance.FIT_TO_USE}


def test_the_newest_inspection_decides_even_if_an_older_one_would_last_longer() -> None:
    older, newer = inspection("2024-01-01", "2034-01-01"), inspection("2025-01-01", "2026-01-01", number="C-2")
    assert clearance_of(older, newer).clearance is Clearance.NOT_KNOWN
    assert clearance_of(newer, older).clearance is Clearance.NOT_KNOWN


def test_of_two_on_one_day_the_later_recorded_decides() -> None:
    first, second = inspection("2026-06-01", "2031-06-01"), inspection("2026-06-01", "2027-06-01", number="C-2")
    found = clearance_of(first, second)
    assert found.valid_until == datetime(2027, 5, 31, 23, 0, tzinfo=UTC)


def test_a_past_instant_is_judged_by_what_had_been_inspected_then() -> None:
    records = (inspection("2024-06-01", "2025-06-01"), inspection("2026-06-01", "2031-06-01", number="C-2"))
    asked = {year: clearance_of(*records, at=datetime(year, 12, 1, tzinfo=UTC)).clearance for year in range(2023, 2027)}
    assert asked == {
        2023: Clearance.NOT_KNOWN,
        2024: Clearance.FIT_TO_USE,
        2025: Clearance.NOT_KNOWN,
        2026: Clearance.FIT_TO_USE,
    }


def test_every_answer_comes_with_its_working() -> None:
    for found in (
        clearance_of(),
        clearance_of(inspection("2026-06-01", "2031-06-01")),
        clearance_of(inspection("2026-06-01", "2031-06-01", ("C1", None))),
    ):
        assert found.working.steps
        assert all(step.rule and step.source and step.result for step in found.working.steps)


def test_the_worst_of_a_home_is_what_stops_most() -> None:
    fit, limits, stop, unknown = (
        Clearance.FIT_TO_USE, Clearance.USE_WITH_LIMITS, Clearance.DO_NOT_USE, Clearance.NOT_KNOWN,
    )
    assert worst_of([fit, unknown, stop, limits]) is stop
    assert worst_of([fit, unknown, limits]) is unknown
    assert worst_of([fit, limits]) is limits
    assert worst_of([]) is unknown
    assert [each for each in Clearance if each.allows_charging] == [fit, limits]
