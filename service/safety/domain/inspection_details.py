"""What an electrician's certificate says of one outlet, checked as it is put together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from service.common.errors import Fault, Rejected
from service.households.domain.equipment import YesNo
from service.households.domain.ranges import build_each, in_range, known_word, refuse, text_within
from service.safety.domain.due_dates import months_after
from service.safety.domain.evidence import CertificateKind, ObservationCode, ObservationReach
from service.safety.domain.inspection_answers import InspectionAnswers

LONGEST_INTERVAL_YEARS = 10
"""Longest interval between inspections of a home that its owner lives in: GN3 Table 3.2."""

OBSERVATIONS_MAX = 50  # own bound
LIMIT_MAX_A: Final = 125  # own bound, as for the devices of a home
FAILED_READING: Final = "a failed reading"
"""How a reading outside its limit is named among the codes that stop use."""


@dataclass(frozen=True)
class ObservationDetails:
    """One coded finding; ``closed_on`` is the day from which it no longer stands, ``reach`` what it stops till then."""

    code: str
    note: str = ""
    closed_on: date | None = None
    reach: str = ObservationReach.OUTLET

    def __post_init__(self) -> None:
        refuse(
            known_word("code", self.code, ObservationCode),
            known_word("reach", self.reach, ObservationReach),
            text_within("note", self.note, 300),
        )


@dataclass(frozen=True)
class InspectionDetails:
    """The recorded result of inspecting and testing one named outlet.

    ``limit_a`` [A] is the most that he allows for hours, with his reason.  ``is_partial``: the certificate is in, the
    readings are still to come.  ``registration`` stands as he stated it.
    """

    outlet_id: str
    inspected_on: date
    next_due_on: date
    certificate_number: str
    electrician: str
    observations: tuple[ObservationDetails, ...] = ()
    certificate_kind: str = CertificateKind.NOT_KNOWN
    registration: str = ""
    file_id: str | None = None
    was_tested: str = YesNo.NOT_KNOWN
    limitation: str = ""
    knew_use: str = YesNo.NOT_KNOWN
    answers: InspectionAnswers | None = None
    limit_a: int | None = None
    limit_reason: str = ""
    is_partial: bool = False

    def __post_init__(self) -> None:
        refuse(
            text_within("certificate_number", self.certificate_number, 60, is_required=True),
            text_within("electrician", self.electrician, 120, is_required=True),
            text_within("registration", self.registration, 200),
            text_within("limitation", self.limitation, 500),
            known_word("certificate_kind", self.certificate_kind, CertificateKind),
            known_word("was_tested", self.was_tested, YesNo),
            known_word("knew_use", self.knew_use, YesNo),
            _limit_faults(self),
            _due_faults(self),
            _observation_faults(self),
        )

    @property
    def stops(self) -> tuple[str, ...]:
        """The codes that stop use and still stand, and that a reading fails, each once."""
        open_codes = {
            str(finding.code)
            for finding in self.observations
            if finding.closed_on is None and ObservationCode(finding.code).stops_use
        }
        fails = self.answers is not None and bool(self.answers.failures())
        return (*sorted(open_codes), *((FAILED_READING,) if fails else ()))

    @classmethod
    def from_form(cls, values: Mapping[str, Any]) -> InspectionDetails:
        """Return the value of a form as sent, answers and observations in their own objects; raises ``Rejected``."""
        faults: list[Fault] = []
        read: dict[str, Any] = dict(values)
        try:
            read["observations"] = build_each("observations", values.get("observations", ()), ObservationDetails)
        except Rejected as error:
            faults.extend(error.faults)
            read["observations"] = ()
        try:
            answers = values.get("answers")
            read["answers"] = None if answers is None else InspectionAnswers.from_json(answers)
        except Rejected as error:
            faults.extend(fault.under("answers") for fault in error.faults)
            read["answers"] = None
        try:
            details = cls(**read)
        except Rejected as error:
            faults.extend(error.faults)
        refuse(faults)
        return details


def check_not_ahead(details: InspectionDetails, *, on: date) -> None:
    """Refuse dates that have not come yet on a day: evidence is of what was done; raises ``Rejected``."""
    refuse(_ahead("inspected_on", details.inspected_on, on), *_closures_ahead(details, on))


def check_done_on(done_on: date, *, on: date, field: str = "done_on") -> None:
    """Refuse a day of doing that has not come yet; raises ``Rejected``."""
    refuse(_ahead(field, done_on, on))


def check_closed_on(closed_on: date, *, inspected_on: date, on: date) -> None:
    """Refuse a closing date before the inspection or after a day; raises ``Rejected``."""
    refuse(_ahead("closed_on", closed_on, on), _before("closed_on", closed_on, inspected_on))


def _limit_faults(details: InspectionDetails) -> Iterator[Fault]:
    yield from text_within("limit_reason", details.limit_reason, 500, is_required=details.limit_a is not None)
    if details.limit_a is not None:
        yield from in_range("limit_a", details.limit_a, 1, LIMIT_MAX_A, "A")


def _due_faults(details: InspectionDetails) -> Iterator[Fault]:
    latest = months_after(details.inspected_on, 12 * LONGEST_INTERVAL_YEARS)
    if details.next_due_on <= details.inspected_on:
        yield Fault("next_due_on", str(details.next_due_on), "must be after the inspection")
    elif details.next_due_on > latest:
        rule = f"must be within {LONGEST_INTERVAL_YEARS} years of the inspection, the longest interval of a home"
        yield Fault("next_due_on", str(details.next_due_on), rule)


def _observation_faults(details: InspectionDetails) -> Iterator[Fault]:
    if len(details.observations) > OBSERVATIONS_MAX:
        yield Fault("observations", len(details.observations), f"must be at most {OBSERVATIONS_MAX}")
    for position, finding in enumerate(details.observations):
        if finding.closed_on is not None:
            yield from _before(f"observations.{position}.closed_on", finding.closed_on, details.inspected_on)


def _closures_ahead(details: InspectionDetails, on: date) -> Iterator[Iterator[Fault]]:
    for position, finding in enumerate(details.observations):
        if finding.closed_on is not None:
            yield _ahead(f"observations.{position}.closed_on", finding.closed_on, on)


def _ahead(field: str, day: date, on: date) -> Iterator[Fault]:
    if day > on:
        yield Fault(field, day.isoformat(), "must not be in the future")


def _before(field: str, day: date, inspected_on: date) -> Iterator[Fault]:
    if day < inspected_on:
        yield Fault(field, day.isoformat(), f"must not be before the inspection on {inspected_on}")
