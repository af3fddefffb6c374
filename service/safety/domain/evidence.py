"""Evidence as values: what an electrician recorded, and what falls due again."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum


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


@dataclass(frozen=True)
class CodedObservation:
    """One finding, open until ``closed_on``."""

    code: ObservationCode
    note: str
    closed_on: date | None

    def is_open_on(self, day: date) -> bool:
        """Tell whether the finding still stands on a day."""
        return self.closed_on is None or self.closed_on > day


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


@dataclass(frozen=True)
class InspectionRecord:
    """A recorded inspection that names one outlet; ``recorded_at`` None: known ever since it was made."""

    id: str
    outlet_id: str
    inspected_on: date
    next_due_on: date
    electrician: str
    certificate_number: str
    observations: tuple[CodedObservation, ...]
    recorded_at: datetime | None = None

    def open_stops(self, day: date) -> tuple[str, ...]:
        """Return the codes that stop use and still stand on a day."""
        return tuple(
            finding.code.value for finding in self.observations if finding.code.stops_use and finding.is_open_on(day)
        )
