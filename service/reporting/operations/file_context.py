"""What every part of a safety file asks for: the home, its instant and zone, and the names of items and people."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.models import Account, AuditEntry, Membership
from service.households.operations.home_view import HomeView, get_home_view
from service.infrastructure.db.sessions import SchemeSession
from service.reporting.domain.safety_file import stamp
from service.safety.models import Inspection

Row = TypeVar("Row")
_ID = re.compile(r"\b[0-9a-f]{32}\b")


@dataclass(frozen=True)
class FileContext:
    """One home at one instant, with labels by item id and names by account id."""

    session: SchemeSession
    home: HomeView
    at: datetime
    zone: ZoneInfo
    labels: dict[str, str]
    people: dict[str, str]
    # (item id, fields, instant, account id): edits that the instant did not know, the earliest first
    later_edits: tuple[tuple[str, tuple[str, ...], datetime, str | None], ...]
    # Items recorded after the instant: not in the file at all.
    added_later: frozenset[str]

    @property
    def household_id(self) -> str:
        """The home's id."""
        return self.home.household.id

    @property
    def day(self) -> date:
        """The home's local date at the instant."""
        return self.at.astimezone(self.zone).date()

    def when(self, instant: datetime | None, *, missing: str = "") -> str:
        """Return an instant on the home's clock."""
        return stamp(instant, self.zone, missing=missing)

    def who(self, account_id: str | None) -> str:
        """Return a person's name; their id where the account is gone, and so the name."""
        if account_id is None:
            return "not known"
        return self.people.get(account_id, f"account {account_id[:8]}")

    def label(self, item_id: str | None) -> str:
        """Return an item's label."""
        return self.labels.get(item_id, "an item no longer there") if item_id else ""

    def named(self, text: str) -> str:
        """Return a text with each id in it as people know the item: its label, or an inspection's number."""
        return _ID.sub(lambda found: self.labels.get(found[0], found[0][:8]), text)

    def by_then(self, instant: datetime | None) -> datetime | None:
        """Return an instant if it had come by the file's, else None: it was not known then."""
        return instant if instant is not None and instant <= self.at else None

    def rows(self, model: type[Row], since: Any, *more: Any) -> Sequence[Row]:
        """Return the home's rows of a model recorded by the instant, the earliest first."""
        owner: Any = model
        return self.session.scalars(
            select(model).where(owner.household_id == self.household_id, since <= self.at, *more)
            .order_by(since, owner.id)
        ).all()

    def known(self, items: Iterable[Any]) -> list[Any]:
        """Return the items that had been recorded by the instant."""
        return [item for item in items if item.id not in self.added_later]


def open_context(session: SchemeSession, household_id: str, *, at: datetime) -> FileContext:
    """Return the context of a home; raises ``NotFound``."""
    home = get_home_view(session, household_id)
    items: list[Any] = [*home.circuits, *home.outlets, *home.leads]
    labels = {item.id: item.label for item in items} | {household_id: "the home"}
    if home.supply is not None:
        labels[home.supply.id] = "the supply"
    inspections = session.scalars(
        select(Inspection.id).where(Inspection.household_id == household_id, Inspection.recorded_at <= at)
        .order_by(Inspection.recorded_at, Inspection.id)
    )
    numbers = {inspection_id: f"no. {number}" for number, inspection_id in enumerate(inspections, start=1)}
    later = session.scalars(
        select(AuditEntry)
        .where(AuditEntry.subject_id.in_(list(labels)), AuditEntry.happened_at > at)
        .order_by(AuditEntry.happened_at, AuditEntry.id)
    ).all()
    return FileContext(
        session=session,
        home=home,
        at=at,
        zone=ZoneInfo(home.household.zone),
        labels=labels | numbers,
        people=_people(session),
        later_edits=tuple(
            (entry.subject_id, tuple(entry.fields), entry.happened_at, entry.account_id)
            for entry in later
            if entry.action in ("change", "put")
        ),
        added_later=frozenset(entry.subject_id for entry in later if entry.action == "add"),
    )


def _people(session: SchemeSession) -> dict[str, str]:
    """Return account id -> name of everybody who is or was of the scheme."""
    return {
        row[0]: row[1]
        for row in session.execute(
            select(Account.id, Account.name).join(
                Membership, (Membership.account_id == Account.id) & (Membership.scheme_id == session.scheme_id)
            )
        )
    }
