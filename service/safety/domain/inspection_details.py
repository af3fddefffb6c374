"""What an electrician's certificate says of one outlet, checked as it is put together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from service.common.errors import Fault
from service.households.domain.ranges import known_word, refuse, text_within
from service.safety.domain.due_dates import months_after
from service.safety.domain.evidence import ObservationCode

LONGEST_INTERVAL_YEARS = 10
"""Longest interval between inspections of a home that its owner lives in: GN3 Table 3.2."""

OBSERVATIONS_MAX = 50  # own bound


@dataclass(frozen=True)
class ObservationDetails:
    """One coded finding; ``closed_on`` is the day from which it no longer stands."""

    code: str
    note: str = ""
    closed_on: date | None = None

    def __post_init__(self) -> None:
        refuse(known_word("code", self.code, ObservationCode), text_within("note", self.note, 300))


@dataclass(frozen=True)
class InspectionDetails:
    """The recorded result of inspecting and testing one named outlet."""

    outlet_id: str
    inspected_on: date
    next_due_on: date
    certificate_number: str
    electrician: str
    observations: tuple[ObservationDetails, ...] = ()

    def __post_init__(self) -> None:
        refuse(
            text_within("certificate_number", self.certificate_number, 60, is_required=True),
            text_within("electrician", self.electrician, 120, is_required=True),
            _due_faults(self),
            _observation_faults(self),
        )


def check_not_ahead(details: InspectionDetails, *, on: date) -> None:
    """Refuse dates that have not come yet on a day: evidence is of what was done; raises ``Rejected``."""
    refuse(_ahead("inspected_on", details.inspected_on, on), *_closures_ahead(details, on))


def check_done_on(done_on: date, *, on: date, field: str = "done_on") -> None:
    """Refuse a day of doing that has not come yet; raises ``Rejected``."""
    refuse(_ahead(field, done_on, on))


def check_closed_on(closed_on: date, *, inspected_on: date, on: date) -> None:
    """Refuse a closing date before the inspection or after a day; raises ``Rejected``."""
    refuse(_ahead("closed_on", closed_on, on), _before("closed_on", closed_on, inspected_on))


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
