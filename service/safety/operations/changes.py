"""Follow a record: append how clearance changed by it, and bring the home's standing up to date.

Only changes that a record makes are appended here, an edit of what an inspection rests on among them.  That evidence
merely ages, or that equipment is added, shows when clearance is derived.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Any

from sqlalchemy import select

from service.households.models import OutletChange
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.levels import Clearance
from service.safety.models import ClearanceChange
from service.safety.operations.clearances import HomeClearance, HomeEvidence, get_home_evidence, home_clearance
from service.safety.operations.standing import refresh_status


class CauseKind(StrEnum):
    """Which kind of record changed a clearance."""

    SIGN_REPORT = "sign_report"
    WITHDRAWAL = "withdrawal"
    LEAD_TEST = "lead_test"
    INSPECTION = "inspection"
    CLOSURE = "closure"
    ACCEPTANCE = "acceptance"
    REFUSAL = "refusal"
    CHECK = "check"
    SUPERVISED_CHARGE = "supervised_charge"
    SETTING_PHOTO = "setting_photo"
    OVERRIDE = "override"
    OUTLET_CHANGE = "outlet_change"
    EXTENSION_LEAD = "extension_lead"


@dataclass(frozen=True)
class LostOutlet:
    """An outlet that an edit took away: what became another in words, what evidence says now, what it asks for."""

    outlet_id: str
    label: str
    what: str
    clearance: Clearance
    missing: tuple[str, ...]


@dataclass(frozen=True)
class OutletStop:
    """The outlets of a home from which an edit took the charging away, and the instant of the edit."""

    reference: str
    changed_at: datetime
    outlets: tuple[LostOutlet, ...]


def follow_record(
    session: SchemeSession,
    household_id: str,
    before: HomeClearance,
    *,
    cause: CauseKind,
    cause_id: str,
    at: datetime,
) -> None:
    """Append each change since ``before`` with its cause and working, then refresh the standing.

    ``before`` is the home's clearance at the same instant, derived before the record was written.
    """
    session.flush()
    after = home_clearance(session, household_id, at=at)
    was = {(kind, item): clearance for kind, item, clearance, _ in _items(before)}
    for kind, item, clearance, working in _items(after):
        old = was.get((kind, item), Clearance.NOT_KNOWN)
        if old is not clearance:
            session.add(
                ClearanceChange(
                    household_id=household_id, item_kind=kind, item_id=item, was=old.value, becomes=clearance.value,
                    changed_at=at, cause_kind=cause.value, cause_id=cause_id, working=working,
                )
            )
    refresh_status(session, household_id, at=at)


def follow_outlet_changes(
    session: SchemeSession,
    household_id: str,
    change_ids: Sequence[str],
    was: Mapping[str, str | None],
    *,
    now: datetime,
) -> None:
    """Append how clearance changed by edits of outlets that were made in one go; raises ``NotFound``.

    It is derived for the instant of the edits, with what the record of the outlet said before them.
    """
    changes = _edits(session, change_ids)
    if not changes:
        return
    at = changes[0].changed_at
    evidence = get_home_evidence(session, household_id, at=at)
    before = _just_before(evidence, changes, was)
    follow_record(session, household_id, before, cause=CauseKind.OUTLET_CHANGE, cause_id=changes[0].id, at=at)
    refresh_status(session, household_id, at=now)


def describe_outlet_stop(
    session: SchemeSession,
    household_id: str,
    change_ids: Sequence[str],
    was: Mapping[str, str | None],
    *,
    now: datetime,
) -> OutletStop | None:
    """Return what edits of outlets that were made in one go took away; None for nothing; raises ``NotFound``.

    An outlet counts that allowed charging just before the edits and does not now: where another inspection gave it
    back meanwhile there is nothing to tell.
    """
    changes = _edits(session, change_ids)
    if not changes:
        return None
    evidence = get_home_evidence(session, household_id, at=now)
    before = _just_before(evidence, changes, was).outlets
    usable = {outlet.outlet_id for outlet in before if outlet.clearance.allows_charging}
    what = {change.outlet_id: change.what for change in changes if change.outlet_id in usable}
    labels = {outlet.id: outlet.label for outlet in evidence.home.outlets}
    outlets = tuple(
        LostOutlet(each.outlet_id, labels[each.outlet_id], what[each.outlet_id], each.clearance, each.missing)
        for each in evidence.outlets_at(now)
        if each.outlet_id in what and not each.clearance.allows_charging
    )
    return OutletStop(evidence.home.reference, changes[0].changed_at, outlets) if outlets else None


def _edits(session: SchemeSession, change_ids: Sequence[str]) -> Sequence[OutletChange]:
    return session.scalars(select(OutletChange).where(OutletChange.id.in_(change_ids))).all()


def _just_before(
    evidence: HomeEvidence, changes: Sequence[OutletChange], was: Mapping[str, str | None]
) -> HomeClearance:
    as_it_was = _as_it_was(evidence, {change.outlet_id for change in changes}, was)
    return as_it_was.clearance_at(changes[0].changed_at - timedelta(microseconds=1))


def _as_it_was(evidence: HomeEvidence, outlet_ids: set[str], was: Mapping[str, str | None]) -> HomeEvidence:
    if not was:
        return evidence
    since = was.get("since_on")
    since_on = date.fromisoformat(since) if since else None
    own: dict[str, Any] = {"circuit_id": was.get("circuit_id"), "since_on": since_on}
    outlets = tuple(replace(each, **own) if each.id in outlet_ids else each for each in evidence.home.outlets)
    return HomeEvidence(replace(evidence.home, outlets=outlets), evidence.records)


def _items(found: HomeClearance) -> Iterator[tuple[str, str, Clearance, list[dict[str, object]]]]:
    for outlet in found.outlets:
        yield "outlet", outlet.outlet_id, outlet.clearance, list(outlet.working.to_json())
    for lead in found.leads:
        yield "lead", lead.lead_id, lead.clearance, list(lead.working.to_json())
