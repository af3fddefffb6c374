"""Comparisons of a home with what it might be: made, kept, shared as totals; and what small changes would be worth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.common.slots import slot_start
from service.households.domain.homes import HomeInputs
from service.households.domain.ranges import refuse, text_within
from service.households.operations import get_household, hold_household, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.car_week import PlannedBefore
from service.planning.domain.home_week import HomeWeek, home_week
from service.planning.domain.price_book import LocalWeek, PriceBook
from service.planning.domain.side_by_side import side_by_side
from service.planning.domain.state_of_charge import READING_LASTS_SLOTS
from service.planning.domain.what_if import Changes, OtherTariff, assumptions, changed_clearances, changed_home
from service.planning.domain.worth_knowing import WorthItem, worth_knowing
from service.planning.models import WhatIf
from service.planning.operations.gather import load_home_terms, load_in_force
from service.planning.operations.runs import next_slot
from service.safety.domain.clearance import OutletClearance
from service.safety.operations import HomeClearance, load_for_planning
from service.tariffs.operations import offered_tariffs

MOST_KEPT = 50
"""Own bound on what is kept of one home: more than anybody compares, few enough to list in one answer."""
LABEL_LENGTH_MAX = 120


class TooManyKept(Conflict):
    """The home keeps as many comparisons as it may."""

    title = "Too many comparisons kept"


def compare(
    session: SchemeSession,
    household_id: str,
    *,
    label: str,
    changes: Changes,
    stated: Mapping[str, Any],
    by: str | None,
    at: datetime,
) -> WhatIf:
    """Plan the home as it is and as it would be, and keep both with what was changed as it was ``stated``.

    Raises
    ------
    NotFound, Rejected, TooManyKept
        Faults of changes stand under ``changes``.
    """
    hold_household(session, household_id)  # two at once must not go past the bound together
    refuse(text_within("label", label, LABEL_LENGTH_MAX, is_required=True))
    kept = session.scalar(select(func.count()).where(WhatIf.household_id == household_id)) or 0
    if kept >= MOST_KEPT:
        raise TooManyKept(f"This home keeps {MOST_KEPT} comparisons already: delete one first.")
    if changes.tariff is not None and all(
        changes.tariff.tariff_id != each.id for each in list_tariff_choices(session, household_id, at=at)
    ):
        rule = "is none of the scheme's tariffs with prices today"
        raise Rejected(Fault("changes.tariff.tariff_id", changes.tariff.tariff_id, rule))
    reader = _Reader.of(session, household_id, at, changes.tariff)
    try:
        changed = reader.changed(changes)
        notes = assumptions(reader.home, changes)
    except Rejected as error:
        raise Rejected(*(fault.under("changes") for fault in error.faults)) from error
    row = WhatIf(
        household_id=household_id,
        label=label.strip(),
        changes=dict(stated),
        result=side_by_side(reader.now(), changed, notes).to_json(),
        created_at=at,
        created_by=by,
        is_shared=False,
    )
    session.add(row)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="what_if", subject_id=row.id, at=at)
    return row


def list_what_ifs(session: SchemeSession, household_id: str, *, is_shared: bool | None = None) -> list[WhatIf]:
    """Return what is kept of a home, newest first; only what is shared where that is asked."""
    get_household(session, household_id)
    wanted = select(WhatIf).where(WhatIf.household_id == household_id)
    if is_shared is not None:
        wanted = wanted.where(WhatIf.is_shared.is_(is_shared))
    return list(session.scalars(wanted.order_by(WhatIf.created_at.desc(), WhatIf.id)))


def get_what_if(session: SchemeSession, household_id: str, what_if_id: str) -> WhatIf:
    """Return one comparison of a home; raises ``NotFound``."""
    row = session.get(WhatIf, (session.scheme_id, what_if_id))
    if row is None or row.household_id != household_id:
        raise NotFound("This home has no such comparison.")
    return row


def share_what_if(
    session: SchemeSession, household_id: str, what_if_id: str, *, is_shared: bool, by: str | None, at: datetime
) -> WhatIf:
    """Let the scheme's administrators see a comparison's totals, or no longer."""
    row = get_what_if(session, household_id, what_if_id)
    if row.is_shared != is_shared:
        row.is_shared = is_shared
        session.flush()
        action = "share" if is_shared else "stop_sharing"
        audit(session, account_id=by, action=action, subject_kind="what_if", subject_id=row.id, at=at)
    return row


def remove_what_if(
    session: SchemeSession, household_id: str, what_if_id: str, *, by: str | None, at: datetime
) -> None:
    """Delete a comparison; who it was shared with does not see it any more."""
    row = get_what_if(session, household_id, what_if_id)
    session.delete(row)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="what_if", subject_id=what_if_id, at=at)


@dataclass(frozen=True)
class TariffChoice:
    """A tariff that a home could be planned with."""

    id: str
    name: str


def list_tariff_choices(session: SchemeSession, household_id: str, *, at: datetime) -> list[TariffChoice]:
    """Return the scheme's tariffs that have prices today, by name."""
    household = get_household(session, household_id)
    today = at.astimezone(ZoneInfo(household.zone)).date()
    return [TariffChoice(*each) for each in offered_tariffs(session, on=today)]


def get_worth(session: SchemeSession, household_id: str, *, at: datetime) -> Sequence[WorthItem]:
    """Return what small changes would be worth a year, planned now; raises ``NotFound``."""
    get_household(session, household_id)
    reader = _Reader.of(session, household_id, at)
    return worth_knowing(reader.now(), reader.changed)


@dataclass(frozen=True)
class _Reader:
    """A home as it was read once, to be made a week as often as asked."""

    home: HomeInputs
    cleared: HomeClearance
    before: Mapping[str, PlannedBefore]
    book: PriceBook
    as_of_slot: int
    zone: ZoneInfo

    @classmethod
    def of(cls, session: SchemeSession, household_id: str, at: datetime, tariff: OtherTariff | None = None) -> _Reader:
        """Read a home of the scheme, with the terms of another tariff where one is asked about."""
        slot = next_slot(at)
        (home,) = load_homes(session, [household_id], from_at=slot_start(slot - READING_LASTS_SLOTS))
        in_force = load_in_force(session, [household_id]).get(household_id)
        priced = home if tariff is None else changed_home(home, Changes(tariff=tariff), from_on=at.date())
        return cls(
            home,
            load_for_planning(session, [home], at=slot_start(slot))[home.id],
            in_force.by_vehicle() if in_force else {},
            PriceBook(load_home_terms(session, [home, priced], slot), slot),
            slot,
            ZoneInfo(home.zone),
        )

    @property
    def today(self) -> date:
        """Return the local day."""
        return LocalWeek.at(self.as_of_slot, self.zone).first_day

    def now(self) -> HomeWeek:
        """Return the week as it is."""
        return self._week(self.home, self.cleared.outlets)

    def changed(self, changes: Changes) -> HomeWeek:
        """Return the week as it would be; raises ``Rejected``."""
        home = changed_home(self.home, changes, from_on=self.today)
        return self._week(home, changed_clearances(self.cleared.outlets, self.home, changes))

    def _week(self, home: HomeInputs, cleared: Sequence[OutletClearance]) -> HomeWeek:
        return home_week(
            home,
            self.book.for_home(home, self.zone),
            cleared,
            self.before,
            as_of_slot=self.as_of_slot,
            zone=self.zone,
            leads=self.cleared.leads,
        )
