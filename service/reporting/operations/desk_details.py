"""What the desk says of a few homes in words: what is missing, who was told, which visit is open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from sqlalchemy import select

from service.accounts.models import Account
from service.households.operations.planning_inputs import load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.reminders.models import SafetyNotice
from service.safety.models import Visit
from service.safety.operations.clearances import load_home_evidence

ENDED = ("accepted", "cancelled")


@dataclass(frozen=True, slots=True)
class Told:
    """The newest safety notice of a home: to whom, when, and when they read it."""

    name: str
    subject: str
    told_at: datetime
    read_at: datetime | None


@dataclass(frozen=True, slots=True)
class OpenVisit:
    """The newest visit that has not ended."""

    state: str
    agreed_on: date | None


@dataclass(frozen=True, slots=True)
class LabelledOutlet:
    """An outlet that lacks something, for a visit to be asked for."""

    id: str
    label: str


@dataclass(frozen=True, slots=True)
class HomeDetails:
    """One home in words; ``not_clear`` are the outlets that no car may charge from now."""

    missing: tuple[str, ...] = ()
    not_clear: tuple[LabelledOutlet, ...] = ()
    told: Told | None = None
    visit: OpenVisit | None = None


@dataclass
class _Found:
    missing: list[str] = field(default_factory=list)
    not_clear: list[LabelledOutlet] = field(default_factory=list)
    told: Told | None = None
    visit: OpenVisit | None = None


def load_details(session: SchemeSession, household_ids: Sequence[str], *, now: datetime) -> dict[str, HomeDetails]:
    """Return household id -> its details: a few statements however many homes."""
    found = {household_id: _Found() for household_id in household_ids}
    _add_missing(session, found, now)
    _add_told(session, found)
    _add_visits(session, found)
    return {
        key: HomeDetails(tuple(one.missing), tuple(one.not_clear), one.told, one.visit) for key, one in found.items()
    }


def _add_missing(session: SchemeSession, found: dict[str, _Found], now: datetime) -> None:
    for evidence in load_home_evidence(session, load_homes(session, list(found), from_at=now)):
        home, clearance = evidence.home, evidence.clearance_at(now)
        into = found[home.id]
        if not home.outlets:
            into.missing.append("an outlet: none is recorded")
        for outlet, answer in zip(home.outlets, clearance.outlets, strict=True):
            into.missing += [f"{outlet.label}: {words}" for words in answer.missing]
            if not answer.clearance.allows_charging:
                into.not_clear.append(LabelledOutlet(outlet.id, outlet.label))
        for lead, standing in zip(home.leads, clearance.leads, strict=True):
            into.missing += [f"{lead.label}: {words}" for words in standing.missing]


def _add_told(session: SchemeSession, found: dict[str, _Found]) -> None:
    rows = session.execute(
        select(
            SafetyNotice.household_id, Account.name, SafetyNotice.subject, SafetyNotice.told_at, SafetyNotice.read_at
        )
        .join(Account, Account.id == SafetyNotice.account_id)
        .where(SafetyNotice.household_id.in_(list(found)))
        .order_by(SafetyNotice.told_at, SafetyNotice.id)
    )
    for row in rows:
        found[row[0]].told = Told(row[1], row[2], row[3], row[4])  # the newest stays


def _add_visits(session: SchemeSession, found: dict[str, _Found]) -> None:
    rows = session.execute(
        select(Visit.household_id, Visit.state, Visit.agreed_on)
        .where(Visit.household_id.in_(list(found)), Visit.state.not_in(ENDED))
        .order_by(Visit.asked_at, Visit.id)
    )
    for row in rows:
        found[row[0]].visit = OpenVisit(row[1], row[2])  # the newest stays
