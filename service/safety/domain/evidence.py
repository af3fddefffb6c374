"""Evidence as values: what an electrician recorded, and what falls due again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from service.households.domain.equipment import YesNo
from service.safety.domain.inspection_answers import NOTHING_RECORDED, InspectionAnswers


class ObservationCode(StrEnum):
    """Classification codes of an electrical installation condition report (BS 7671 Appendix 6)."""

    C1 = "C1"
    C2 = "C2"
    C3 = "C3"
    FI = "FI"

    @property
    def stops_use(self) -> bool:
        """C1, C2 and FI make the result unsatisfactory; C3 alone does not."""
        return self is not ObservationCode.C3


class InspectionSource(StrEnum):
    """How an inspection came in."""

    LINK = "link"
    OFFICER = "officer"
    TYPED = "typed"
    IMPORT = "import"


class CertificateKind(StrEnum):
    """What the electrician issued (BS 7671 Appendix 6)."""

    EIC = "eic"
    MINOR_WORKS = "minor_works"
    EICR = "eicr"
    OTHER = "other"
    NOT_KNOWN = "not_known"


class AcceptanceGround(StrEnum):
    """Why an inspection counts: its electrician is on the scheme's list, or a safety officer compared the document."""

    LISTED = "listed"
    OFFICER = "officer"


class RecheckItem(StrEnum):
    """What a recheck is of."""

    OUTLET = "outlet"
    LEAD = "lead"
    CIRCUIT = "circuit"
    DEVICE = "device"


class ObservationReach(StrEnum):
    """What a finding that stops use stops: at board, earthing or supply it is all of the home."""

    OUTLET = "outlet"
    CIRCUIT = "circuit"
    HOME = "home"


@dataclass(frozen=True)
class CodedObservation:
    """One finding, open until ``closed_on``; ``closed_at`` None: its closing was known with the finding itself."""

    code: ObservationCode
    note: str
    closed_on: date | None
    closed_at: datetime | None = None
    reach: ObservationReach = ObservationReach.OUTLET

    def is_open_on(self, day: date) -> bool:
        """Tell whether the finding still stands on a day, by all that is known now."""
        return self.closed_on is None or self.closed_on > day

    def is_open_at(self, at: datetime, day: date) -> bool:
        """Tell whether it stood at an instant of a day by what was known then."""
        return self.is_open_on(day) or (self.closed_at is not None and self.closed_at > at)


class LeadTestKind(StrEnum):
    """What was done to a lead."""

    TEST = "test"
    REPLACEMENT = "replacement"


@dataclass(frozen=True)
class LeadTestRecord:
    """A recorded test of a lead, or that a new one took its place; instants are aware."""

    id: str
    lead_id: str
    kind: LeadTestKind
    is_passed: bool
    done_at: datetime
    recorded_at: datetime
    tested_by: str


@dataclass(frozen=True, slots=True)
class CheckRecord:
    """A member's check of an outlet, and of a lead where one was looked at; it counts from when it was made."""

    id: str
    outlet_id: str
    lead_id: str | None
    made_at: datetime
    is_clear: bool


@dataclass(frozen=True)
class InspectionRecord:
    """A recorded inspection that names one outlet; ``recorded_at`` None: known ever since it was made.

    Each instant says from when on something was known, so that an answer as at a past one leaves out the rest.
    ``circuit_id`` is the circuit it names, or the outlet's own where it names none.
    """

    id: str
    outlet_id: str
    inspected_on: date
    next_due_on: date
    electrician: str
    certificate_number: str
    observations: tuple[CodedObservation, ...]
    recorded_at: datetime | None = None
    source: InspectionSource = InspectionSource.TYPED
    has_document: bool = False
    circuit_id: str | None = None
    was_tested: YesNo = YesNo.NOT_KNOWN
    limitation: str = ""
    knew_use: YesNo = YesNo.NOT_KNOWN
    answers: InspectionAnswers = NOTHING_RECORDED
    limit_a: int | None = None
    limit_reason: str = ""
    is_partial: bool = False
    accepted_at: datetime | None = None
    refused_at: datetime | None = None
    superseded_at: datetime | None = None

    @property
    def is_claim(self) -> bool:
        """Tell whether somebody typed or imported it: it sets rechecks, stops on bad codes, and never clears."""
        return self.source in (InspectionSource.TYPED, InspectionSource.IMPORT)

    def is_known_at(self, at: datetime, day: date) -> bool:
        """Tell whether it was made and recorded by an instant of a day, and no correction had replaced it."""
        return (
            self.inspected_on <= day
            and (self.recorded_at is None or self.recorded_at <= at)
            and (self.superseded_at is None or at < self.superseded_at)
        )

    def is_accepted_at(self, at: datetime) -> bool:
        """Tell whether it had been accepted by an instant."""
        return self.accepted_at is not None and self.accepted_at <= at

    def open_stops(self, day: date) -> tuple[str, ...]:
        """Return the codes that stop use and still stand on a day, by all that is known now."""
        return tuple(
            finding.code.value for finding in self.observations if finding.code.stops_use and finding.is_open_on(day)
        )

    def stops_at(self, at: datetime, day: date) -> tuple[CodedObservation, ...]:
        """Return the findings that stop use and stood at an instant of a day by what was known then."""
        return tuple(
            finding for finding in self.observations if finding.code.stops_use and finding.is_open_at(at, day)
        )
