"""What each home's week is like after works, kept for the scheme's list: reckoned by the clock, a few homes at a time.

Costs, quotes and rates are not in what is kept: a list reckons with them when it is read.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from sqlalchemy import delete, or_, select

from service.advice.domain.upgrade_week import WeekFigures
from service.advice.domain.upgrade_works import NoQuestion, Upgrade, Variant
from service.advice.models import UpgradeStanding
from service.advice.operations.upgrade_plans import ReadHome, plan_works, read_homes
from service.common.errors import ServiceError
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession, SystemSession

log = logging.getLogger(__name__)
FAILED = "failed"
"""Stands where a home's odd data could not be planned: said, and tried again when the home or the week changes."""


@dataclass(frozen=True)
class KeptWorks:
    """What is kept of a home; ``why_not`` is "" or says why there is nothing to weigh."""

    weeks: dict[Variant, WeekFigures]
    works: tuple[Upgrade, ...]
    night_count: int
    has_socket: bool
    why_not: str

    def to_json(self) -> dict[str, Any]:
        """Return it as a value that json.dumps accepts."""
        return {
            "weeks": {variant.value: week.to_json() for variant, week in self.weeks.items()},
            "works": [work.value for work in self.works],
            "night_count": self.night_count,
            "has_socket": self.has_socket,
            "why_not": self.why_not,
        }

    @classmethod
    def from_json(cls, value: dict[str, Any]) -> KeptWorks:
        """Return what ``to_json`` wrote."""
        return cls(
            {Variant(name): WeekFigures.from_json(week) for name, week in value["weeks"].items()},
            tuple(Upgrade(work) for work in value["works"]),
            value["night_count"],
            value["has_socket"],
            value["why_not"],
        )


def week_of(at: datetime) -> date:
    """Return the Monday of an instant's week, in UTC: a reckoning lasts a week at most."""
    day = at.astimezone(UTC).date()
    return day - timedelta(days=day.weekday())


def schemes_with_homes(session: SystemSession) -> list[str]:
    """Return the schemes that have homes, in a fixed order."""
    return sorted(session.scalars(select(Household.scheme_id).distinct()))


def due_homes(session: SchemeSession, *, at: datetime, limit: int) -> list[str]:
    """Return homes that were never reckoned, changed since, or were reckoned in another week; the oldest first."""
    return list(
        session.scalars(
            select(Household.id)
            .outerjoin(
                UpgradeStanding,
                (UpgradeStanding.id == Household.id) & (UpgradeStanding.scheme_id == Household.scheme_id),
            )
            .where(
                or_(
                    UpgradeStanding.id.is_(None),
                    UpgradeStanding.change_counter != Household.change_counter,
                    UpgradeStanding.week_on != week_of(at),
                )
            )
            .order_by(UpgradeStanding.reckoned_at.is_not(None), UpgradeStanding.reckoned_at, Household.id)
            .limit(limit)
        )
    )


def reckon(session: SchemeSession, household_ids: Sequence[str], *, at: datetime) -> dict[str, tuple[int, KeptWorks]]:
    """Return what is to be kept of homes, with the count of changes it rests on; writes nothing."""
    return {read.home.id: (read.home.change_counter, _kept(read)) for read in read_homes(session, household_ids, at=at)}


def _kept(read: ReadHome) -> KeptWorks:
    try:
        planned = plan_works(read)
    except (ServiceError, ValueError):
        # One home's odd data must not stop the others.
        log.exception("a home's works could not be reckoned", extra={"household": read.home.id})
        return KeptWorks({}, (), 0, False, FAILED)
    if isinstance(planned, NoQuestion):
        return KeptWorks({}, (), 0, False, planned.value)
    weeks = dict(planned.weeks)
    return KeptWorks(weeks, planned.target.works, weeks[Variant.NOW].night_count, planned.target.is_socket, "")


def keep(session: SchemeSession, kept: dict[str, tuple[int, KeptWorks]], *, at: datetime) -> None:
    """Write what was reckoned, in place of what was kept before; a home that is gone meanwhile is left out."""
    there = set(session.scalars(select(Household.id).where(Household.id.in_(kept))))
    session.execute(delete(UpgradeStanding).where(UpgradeStanding.id.in_(there)))
    session.add_all(
        UpgradeStanding(
            id=household_id, change_counter=counter, week_on=week_of(at), reckoned_at=at, document=works.to_json()
        )
        for household_id, (counter, works) in sorted(kept.items())
        if household_id in there
    )
    session.flush()
