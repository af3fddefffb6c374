"""Findings: which stop use, and while they stand."""

from datetime import date

from service.safety.domain.evidence import CodedObservation, InspectionRecord, ObservationCode


def test_all_codes_but_c3_stop_use() -> None:
    assert [code for code in ObservationCode if not code.stops_use] == [ObservationCode.C3]


def test_only_codes_that_stop_use_and_still_stand_are_open_stops() -> None:
    day = date(2026, 6, 10)
    findings = (
        CodedObservation(ObservationCode.C1, "", day),
        CodedObservation(ObservationCode.C2, "", date(2026, 6, 11)),
        CodedObservation(ObservationCode.C3, "", None),
        CodedObservation(ObservationCode.FI, "", None),
    )
    record = InspectionRecord("i", "o", date(2026, 6, 1), date(2031, 6, 1), "e", "c", findings)
    assert record.open_stops(day) == ("C2", "FI")
