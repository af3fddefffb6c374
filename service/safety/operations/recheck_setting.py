"""Set the dates of homes anew from their evidence; what did not change stays as it is, with its id.

A date whose evidence was renewed is done and another is set.  A date that a rule, a correction or an extension
moved stays the same recheck on another date.  What no evidence sets any more goes.  Dates that a person set stay.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import select

from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.safety.domain.rechecks import SetDate, Task, set_dates, task_of
from service.safety.models import Recheck
from service.safety.operations.recheck_dates import load_dated_homes

_Key = tuple[str, str, Task]


def set_rechecks(session: SchemeSession, household_ids: Sequence[str], *, at: datetime) -> list[str]:
    """Bring the rechecks of homes in line with their evidence; return the homes in which something changed."""
    session.flush()
    stored: dict[str, list[Recheck]] = defaultdict(list)
    for row in session.scalars(
        select(Recheck).where(Recheck.household_id.in_(household_ids)).order_by(Recheck.due_on, Recheck.id)
    ):
        stored[row.household_id].append(row)
    changed = []
    for household_id, (home, zone) in load_dated_homes(session, household_ids).items():
        wanted = set_dates(home, on=at.astimezone(zone).date())
        if _set(session, household_id, stored[household_id], wanted):
            changed.append(household_id)
    session.flush()
    return changed


def schemes_with_homes(session: SystemSession) -> list[str]:
    """Return the schemes that have a home."""
    return list(session.scalars(select(Household.scheme_id).distinct().order_by(Household.scheme_id)))


def list_home_ids(session: SchemeSession) -> list[str]:
    """Return the ids of the scheme's homes."""
    return list(session.scalars(select(Household.id).order_by(Household.id)))


def homes_with_stale_dates(session: SchemeSession, household_ids: Sequence[str], *, at: datetime) -> list[str]:
    """Return the homes whose stored dates are not what their evidence sets; changes nothing."""
    stored: dict[str, set[tuple[object, ...]]] = defaultdict(set)
    for row in session.scalars(
        select(Recheck).where(Recheck.household_id.in_(household_ids), Recheck.done_on.is_(None))
    ):
        if _task(row) is not Task.OTHER:
            stored[row.household_id].add(_shown(row))
    homes = load_dated_homes(session, household_ids)
    return [
        household_id
        for household_id, (home, zone) in homes.items()
        if {_shown_date(each) for each in set_dates(home, on=at.astimezone(zone).date())} != stored[household_id]
    ]


def _set(session: SchemeSession, household_id: str, rows: list[Recheck], wanted: Sequence[SetDate]) -> bool:
    """Write the differences of one home; return whether there were any."""
    by_date = {(row.item_kind, row.item_id, row.due_on): row for row in rows}
    open_rows: dict[_Key, list[Recheck]] = defaultdict(list)
    for row in rows:
        if row.done_on is None and _task(row) is not Task.OTHER:
            open_rows[row.item_kind, row.item_id, _task(row)].append(row)
    is_changed = False
    for each in wanted:
        key = (each.item_kind.value, each.item_id, each.task)
        there = by_date.get((each.item_kind.value, each.item_id, each.due_on))
        others = [row for row in open_rows.pop(key, []) if row is not there]
        for row in others:
            is_changed = True
            if _is_renewed(row, each):
                row.done_on = each.since_on
            elif there is None:
                there = row  # the same recheck, on another date
                del by_date[row.item_kind, row.item_id, row.due_on]
            else:
                session.delete(row)
        if there is None:
            there = Recheck(household_id=household_id, item_kind=each.item_kind.value, item_id=each.item_id)
            session.add(there)
        if there.done_on is not None or _shown(there) != _shown_date(each):
            is_changed = True
            there.due_on, there.done_on = each.due_on, None
            there.rule, there.rule_name = each.rule[:200], each.rule_name
            there.interval_days, there.is_claimed = each.interval_days, each.is_claimed
            by_date[each.item_kind.value, each.item_id, each.due_on] = there
            session.flush()  # at once: the date it leaves may be another's next
        for kept in [key for key, kept in open_rows.items() if there in kept]:
            open_rows[kept].remove(there)  # it stands for another task now
    for left in open_rows.values():
        for row in left:
            is_changed = True
            session.delete(row)
    return is_changed


def _task(row: Recheck) -> Task:
    return task_of(row.item_kind, row.rule_name or "", row.rule)


def _is_renewed(row: Recheck, each: SetDate) -> bool:
    """Tell whether a date was set by older evidence than the one that takes its place."""
    if row.interval_days is None:
        return each.due_on > row.due_on
    return each.since_on > row.due_on - timedelta(days=row.interval_days)


def _shown(row: Recheck) -> tuple[object, ...]:
    return (
        row.item_kind, row.item_id, row.due_on, row.rule, row.rule_name or "", row.interval_days, bool(row.is_claimed)
    )


def _shown_date(each: SetDate) -> tuple[object, ...]:
    return (
        each.item_kind.value, each.item_id, each.due_on, each.rule[:200], each.rule_name, each.interval_days,
        each.is_claimed,
    )
