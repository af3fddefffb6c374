"""What the worker runs for reminders: tell of stops at once, of moved charging times, and of rechecks that fall due."""

from __future__ import annotations

import logging
from functools import partial

from sqlalchemy.exc import IntegrityError

from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.tasks import JobContext
from service.planning.domain.events import PlanChanged
from service.reminders import emails, operations
from service.safety.domain.events import InspectionStopped, UseStopped

HOMES_A_TRANSACTION = 50
log = logging.getLogger(__name__)


def tell_members_of_plan_change(context: JobContext, session: SchemeSession, event: PlanChanged) -> None:
    """Queue a message to each member of the home whose charging times moved."""
    operations.tell_plan_changed(
        session,
        event,
        at=context.clock.now(),
        render=partial(emails.plan_changed, base_url=context.settings.base_url),
        postmark=context.postmark,
    )


def tell_of_stop(context: JobContext, session: SchemeSession, event: UseStopped) -> None:
    """Queue a safety message to everybody concerned, at once and at any hour."""
    operations.tell_use_stopped(
        session,
        event,
        at=context.clock.now(),
        render_member=partial(emails.stopped_at_home, base_url=context.settings.base_url),
        render_administrator=partial(emails.stopped_in_scheme, base_url=context.settings.base_url),
        postmark=context.postmark,
    )


def tell_of_failed_inspection(context: JobContext, session: SchemeSession, event: InspectionStopped) -> None:
    """Queue a safety message about an inspection that stops charging, at once and at any hour."""
    operations.tell_inspection_stopped(
        session,
        event,
        at=context.clock.now(),
        render_member=partial(emails.stopped_at_home, base_url=context.settings.base_url),
        render_administrator=partial(emails.stopped_in_scheme, base_url=context.settings.base_url),
        postmark=context.postmark,
    )


def remind_rechecks_due(context: JobContext) -> int:
    """Queue what is due in every scheme, a few homes a transaction; return how many messages were queued."""
    at = context.clock.now()
    render = partial(emails.recheck_due, base_url=context.settings.base_url)
    with context.database.system(write=False) as system:
        schemes = operations.schemes_with_rechecks(system, at=at)
    count = 0
    for scheme_id in schemes:
        # Looking needs no write lock, and mostly finds nothing.
        with context.database.scheme(scheme_id, write=False) as session:
            homes = operations.households_to_remind(session, at=at)
        for start in range(0, len(homes), HOMES_A_TRANSACTION):
            some = homes[start : start + HOMES_A_TRANSACTION]
            try:
                with context.database.scheme(scheme_id, write=True) as session:
                    count += operations.remind_rechecks(session, some, at=at, render=render, postmark=context.postmark)
            except IntegrityError:
                # Another worker wrote the same rows at the same moment; what is left, the next tick finds.
                log.info("another worker reminded these homes", extra={"scheme": scheme_id})
    return count
