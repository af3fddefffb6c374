"""Which inspection counts for an outlet, and what keeps one from counting, in words.

It must name this outlet and its circuit as inspected and tested, know that a car charges here, carry its document,
be complete, and be accepted; a typed or imported date is a claim. After an edit of what it rests on it counts no
more. Whether it is still in date is asked apart: what lifted a sign stays lifted when it lapses, or after an edit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime

from service.households.domain.equipment import YesNo
from service.households.domain.homes import OutletInputs
from service.households.domain.outlet_changes import OutletChanged
from service.safety.domain.evidence import InspectionRecord
from service.safety.domain.needs import Need

Shortcoming = tuple[Need, str]


def recorded_as(record: InspectionRecord) -> str:
    """Return the evidence in words: it was recorded, nobody here certified it."""
    by = f"{record.electrician}, certificate {record.certificate_number}"
    return f"recorded as inspected on {record.inspected_on} by {by}"


def shortcomings(record: InspectionRecord, outlet: OutletInputs, *, at: datetime) -> tuple[Shortcoming, ...]:
    """Return what keeps an inspection of the outlet from counting at an instant, its due date left aside."""
    found = list(_shortcomings(record, outlet, at))
    change = changed_since(record, outlet, at=at)
    if change is not None:
        words = f"changed since the inspection, on {change.changed_on} ({change.what}): get it checked"
        found.append((Need.INSPECTION, words))
    return tuple(found)


def changed_since(record: InspectionRecord, outlet: OutletInputs, *, at: datetime) -> OutletChanged | None:
    """Return the first edit, known at an instant, after which an inspection no longer speaks of the outlet.

    One of a later day than the inspection, or of its day and after the result was in: what was put down on the day
    before the result came, the electrician found so.
    """
    for change in outlet.changes:
        is_later = change.changed_on > record.inspected_on
        is_after_it = record.recorded_at is not None and change.changed_at > record.recorded_at
        if change.changed_at <= at and (is_later or is_after_it):
            return change
    return None


def _shortcomings(record: InspectionRecord, outlet: OutletInputs, at: datetime) -> Iterator[Shortcoming]:
    if record.is_claim:
        yield Need.INSPECTION, "an inspection recorded by the electrician: so far its date was typed in, a claim"
    elif record.refused_at is not None and record.refused_at <= at and not record.is_accepted_at(at):
        yield Need.INSPECTION, "another inspection: this one was refused"
    elif not record.is_accepted_at(at):
        yield Need.ACCEPTANCE, "its acceptance by a safety officer, or by the scheme's list of electricians"
    if not record.has_document:
        yield Need.DOCUMENT, "the certificate itself, as a document"
    if record.is_partial:
        yield Need.READINGS, "the electrician's readings: only the certificate is in"
    if record.was_tested is not YesNo.YES:
        yield Need.INSPECTION, "that this outlet and its circuit were tested, not sampled"
    if record.limitation.strip():
        yield Need.INSPECTION, f"an inspection without the limitation: {record.limitation.strip()}"
    if record.knew_use is not YesNo.YES:
        yield Need.INSPECTION, "that the electrician knew a car charges here for hours"
    if outlet.since_on is not None and record.inspected_on < outlet.since_on:
        yield Need.INSPECTION, f"an inspection of this outlet as it has been since {outlet.since_on}"
    if record.circuit_id is not None and outlet.circuit_id is not None and record.circuit_id != outlet.circuit_id:
        yield Need.INSPECTION, "an inspection of the circuit that the outlet is on now"


def known_of(
    outlet: OutletInputs, inspections: Iterable[InspectionRecord], *, at: datetime, day: date
) -> list[InspectionRecord]:
    """Return the inspections that name the outlet and were known at an instant of a day, the oldest first.

    Of two on one day the later recorded one stands later; those recorded at once stay in the order given.
    """
    known = [record for record in inspections if record.outlet_id == outlet.id and record.is_known_at(at, day)]
    return sorted(known, key=lambda record: (record.inspected_on, record.recorded_at or at))


def newest_counting(
    outlet: OutletInputs, known: Sequence[InspectionRecord], *, at: datetime
) -> InspectionRecord | None:
    """Return the newest inspection that counts, in date or lapsed; ``known`` as ``known_of`` returns it."""
    return next((record for record in reversed(known) if not shortcomings(record, outlet, at=at)), None)


def first_counted_at(
    outlet: OutletInputs, inspections: Iterable[InspectionRecord], *, at: datetime
) -> datetime | None:
    """Return when the first inspection that ever counted was accepted, one corrected since included."""
    accepted = [
        record.accepted_at
        for record in inspections
        if record.outlet_id == outlet.id
        and record.accepted_at is not None
        and (record.recorded_at is None or record.recorded_at <= at)
        and not shortcomings(record, outlet, at=at)
    ]
    return min(accepted, default=None)


def lifts_stops(record: InspectionRecord, outlet: OutletInputs, *, at: datetime, day: date) -> bool:
    """Tell whether an inspection may lift a sign or an older failed reading: it counts and finds nothing itself."""
    return (
        record.is_known_at(at, day)
        and not any(_shortcomings(record, outlet, at))
        and not record.stops_at(at, day)
        and not record.answers.failures()
    )
