"""What the worker runs for safety: keep the standing of a home in step with what stands in it."""

from __future__ import annotations

import logging

from sqlalchemy.exc import IntegrityError

from service.common.errors import NotFound
from service.households.domain.events import HouseholdChanged, OutletsChanged
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import FilesOnDisk
from service.infrastructure.tasks import JobContext
from service.safety.operations import (
    follow_outlet_changes,
    forget_sent_secrets,
    homes_with_stale_dates,
    list_home_ids,
    refresh_status,
    schemes_with_homes,
    sweep_files,
)

HOMES_A_LOOK = 200
log = logging.getLogger(__name__)


def refresh_standing_after_household_change(
    context: JobContext, session: SchemeSession, event: HouseholdChanged
) -> None:
    """Derive the home's standing anew: an outlet added without an inspection makes it not known."""
    try:
        refresh_status(session, event.household_id, at=context.clock.now())
    except NotFound:
        return  # the home is gone, and its standing with it


def follow_changed_outlets(context: JobContext, session: SchemeSession, event: OutletsChanged) -> None:
    """Append how clearance changed as the record of outlets did, and bring the home's standing up to date."""
    try:
        follow_outlet_changes(session, event.household_id, event.change_ids, event.was, now=context.clock.now())
    except NotFound:
        return  # the home is gone


def set_recheck_dates_anew(context: JobContext) -> int:
    """Set the dates that changed without a record, as a rule came into force; return in how many homes.

    Looking takes no write lock and writes nothing where nothing changed, which is the usual case.
    """
    at, count = context.clock.now(), 0
    with context.database.system(write=False) as system:
        schemes = schemes_with_homes(system)
    for scheme_id in schemes:
        with context.database.scheme(scheme_id, write=False) as session:
            ids = list_home_ids(session)
        for start in range(0, len(ids), HOMES_A_LOOK):
            with context.database.scheme(scheme_id, write=False) as session:
                stale = homes_with_stale_dates(session, ids[start : start + HOMES_A_LOOK], at=at)
            for household_id in stale:
                try:
                    with context.database.scheme(scheme_id, write=True) as session:
                        refresh_status(session, household_id, at=at)
                    count += 1
                except NotFound:
                    continue  # the home is gone
                except IntegrityError:
                    log.info("another worker set the dates of this home", extra={"scheme": scheme_id})
    return count


def sweep_unnamed_files(context: JobContext) -> int:
    """Remove uploads whose row was never committed, once they have lain for a day."""
    return sweep_files(context.database, FilesOnDisk(context.settings.files_dir), at=context.clock.now())


def forget_sent_links(context: JobContext) -> int:
    """Blank the messages that carried an electrician's link, once they have left."""
    with context.database.system(write=True) as session:
        return forget_sent_secrets(session)
