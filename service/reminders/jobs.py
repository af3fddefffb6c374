"""What the worker runs for reminders: tell of stops at once, of moved charging times, and of what falls due.

``run_due(context) -> int`` queues everything that is due at ``context.clock.now()`` in every scheme: reminders to
members, what is overdue to administrators, safety notices about what is long overdue, and notices that rise to the
duty contacts.  It reads no clock of its own, may be called again and again and by several processes at once, and
each (item, due date, step, person) is queued once.  It returns how many messages are new; sending is ``send_due``.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from sqlalchemy.exc import IntegrityError

from service.households.domain.events import OutletsChanged
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Rendered
from service.infrastructure.tasks import JobContext
from service.planning.domain.events import PlanChanged
from service.reimbursement.domain.events import ClaimDecided, ClaimQueried
from service.reminders import documents, emails, operations
from service.reminders.domain.news import ComingShortfall, DueItem, PlanNews, Reader
from service.reminders.domain.secret_addresses import MutedPerson, mute_token
from service.reminders.operations import why_not_to_send as why_not_to_send
from service.reminders.operations.overdue import ADMINISTRATORS_ZONE
from service.safety.domain.events import ExtensionStopped, InspectionStopped, MadeStricter, UseStopped

PEOPLE_A_TRANSACTION = 50
HOMES_A_TRANSACTION = 50
MUTE_PATH = "/api/v1/mute/"
log = logging.getLogger(__name__)


def tell_members_of_plan_change(context: JobContext, session: SchemeSession, event: PlanChanged) -> None:
    """Queue a message to each member of the home whose charging times moved, and who has not muted tips."""

    def render(news: PlanNews, reader: Reader, url: str) -> Rendered:
        return emails.plan_changed(news, reader, base_url=context.settings.base_url, mute_url=url)

    operations.tell_plan_changed(
        session,
        event,
        at=context.clock.now(),
        render=render,
        mute_url_of=partial(_mute_url, context),
        postmark=context.postmark,
    )


def tell_of_stop(context: JobContext, session: SchemeSession, event: UseStopped) -> None:
    """Queue a safety message to everybody concerned, at once and at any hour."""
    operations.tell_use_stopped(session, event, **_stop_letters(context))


def tell_of_failed_inspection(context: JobContext, session: SchemeSession, event: InspectionStopped) -> None:
    """Queue a safety message about an inspection that stops charging, at once and at any hour."""
    operations.tell_inspection_stopped(session, event, **_stop_letters(context))


def tell_of_extension_lead(context: JobContext, session: SchemeSession, event: ExtensionStopped) -> None:
    """Queue a safety message about an extension lead in use, at once and at any hour."""
    operations.tell_extension_stopped(session, event, **_stop_letters(context))


def tell_of_lost_outlets(context: JobContext, session: SchemeSession, event: OutletsChanged) -> None:
    """Queue a safety message about an edit that ended an inspection in use, at once and at any hour."""
    operations.tell_outlets_lost(session, event, **_stop_letters(context))


def tell_of_stricter_answer(context: JobContext, session: SchemeSession, event: MadeStricter) -> None:
    """Queue a safety message about a safety officer's stricter decision, at once and at any hour."""
    operations.tell_made_stricter(
        session,
        event,
        at=context.clock.now(),
        render_member=partial(emails.made_stricter_at_home, base_url=context.settings.base_url),
        render_administrator=partial(emails.made_stricter_in_scheme, base_url=context.settings.base_url),
        postmark=context.postmark,
    )


def tell_of_queried_claim(context: JobContext, session: SchemeSession, event: ClaimQueried) -> None:
    """Queue a message to the member whose claim somebody asked about."""
    _tell_claim_news(context, session, event)


def tell_of_decided_claim(context: JobContext, session: SchemeSession, event: ClaimDecided) -> None:
    """Queue a message to the member whose claim was approved or refused."""
    _tell_claim_news(context, session, event)


def tell_coming_shortfalls(context: JobContext) -> int:
    """Queue what members should know of shortfalls ahead, a few homes a transaction; return how many are new."""
    at, count = context.clock.now(), 0

    def render(news: Sequence[ComingShortfall], reader: Reader, url: str) -> Rendered:
        return emails.coming_shortfall(news, reader, base_url=context.settings.base_url, mute_url=url)

    with context.database.system(write=False) as system:
        schemes = operations.schemes_short(system, at=at)
    for scheme_id in schemes:
        with context.database.scheme(scheme_id, write=False) as session:
            homes = operations.homes_short(session, at=at)
        for start in range(0, len(homes), HOMES_A_TRANSACTION):
            work = partial(
                operations.tell_coming_shortfalls,
                household_ids=homes[start : start + HOMES_A_TRANSACTION],
                at=at,
                render=render,
                mute_url_of=partial(_mute_url, context),
                postmark=context.postmark,
            )
            count += _written(context, scheme_id, work)
    return count


def run_due(context: JobContext) -> int:
    """Queue all that is due now, and return how many messages are new; asked again it queues nothing."""
    return remind_rechecks_due(context) + tell_what_is_overdue(context) + raise_unread_notices(context)


def remind_rechecks_due(context: JobContext) -> int:
    """Queue what is due in every scheme, a few people a transaction; return how many messages were queued."""
    at = context.clock.now()

    def render(items: Sequence[DueItem], reader: Reader) -> Rendered:
        message = emails.recheck_due(items, reader, base_url=context.settings.base_url)
        return replace(message, calendar=_calendar(context, items))

    count = 0
    for scheme_id in _schemes_with_rechecks(context):
        # Looking needs no write lock, and mostly finds nothing.
        with context.database.scheme(scheme_id, write=False) as session:
            people = operations.people_to_remind(session, at=at)
        for start in range(0, len(people), PEOPLE_A_TRANSACTION):
            some = people[start : start + PEOPLE_A_TRANSACTION]
            count += _written(
                context,
                scheme_id,
                partial(
                    operations.remind_rechecks, account_ids=some, at=at, render=render, postmark=context.postmark
                ),
            )
    return count


def tell_what_is_overdue(context: JobContext) -> int:
    """Queue to administrators what reached a weekly step, and safety notices of what is overdue for four weeks."""
    at, base_url, count = context.clock.now(), context.settings.base_url, 0
    for scheme_id in _schemes_with_rechecks(context):
        with context.database.scheme(scheme_id, write=False) as session:
            is_rising = operations.is_anybody_to_tell(session, at=at)
            homes = operations.homes_long_overdue(session, at=at)
        if is_rising:
            render = partial(emails.overdue_in_scheme, base_url=base_url)
            count += _written(
                context,
                scheme_id,
                partial(operations.tell_administrators, at=at, render=render, postmark=context.postmark),
            )
        for start in range(0, len(homes), HOMES_A_TRANSACTION):
            count += _written(
                context,
                scheme_id,
                partial(
                    operations.tell_long_overdue,
                    household_ids=homes[start : start + HOMES_A_TRANSACTION],
                    at=at,
                    render=partial(emails.long_overdue, base_url=base_url),
                    postmark=context.postmark,
                ),
            )
    return count


def raise_unread_notices(context: JobContext) -> int:
    """Let safety notices that went unread, or did not arrive, rise to the duty contacts; return how many rose."""
    at, count = context.clock.now(), 0
    render = partial(emails.ring_about, base_url=context.settings.base_url, zone=ADMINISTRATORS_ZONE)
    with context.database.system(write=False) as system:
        schemes = operations.schemes_to_raise_in(system, at=at)
    for scheme_id in schemes:
        while raised := _written(
            context,
            scheme_id,
            partial(operations.raise_unread, at=at, render=render, postmark=context.postmark),
        ):
            count += raised
    return count


def _tell_claim_news(context: JobContext, session: SchemeSession, event: ClaimQueried | ClaimDecided) -> None:
    operations.tell_claim_news(
        session,
        event,
        at=context.clock.now(),
        render=partial(emails.claim_news, base_url=context.settings.base_url),
        postmark=context.postmark,
    )


def _stop_letters(context: JobContext) -> dict[str, Any]:
    """Return when, and by which letters, everybody is told that charging was stopped."""
    base_url = context.settings.base_url
    return {
        "at": context.clock.now(),
        "render_member": partial(emails.stopped_at_home, base_url=base_url),
        "render_administrator": partial(emails.stopped_in_scheme, base_url=base_url),
        "postmark": context.postmark,
    }


def _mute_url(context: JobContext, person: MutedPerson) -> str:
    token = mute_token(person, secret_key=context.settings.secret_key)
    return context.settings.base_url.rstrip("/") + MUTE_PATH + token


def _schemes_with_rechecks(context: JobContext) -> list[str]:
    with context.database.system(write=False) as system:
        return operations.schemes_with_rechecks(system, at=context.clock.now())


def _written(context: JobContext, scheme_id: str, work: Callable[[SchemeSession], int]) -> int:
    """Do some work in a transaction of its own; a clash with another worker leaves it to the next tick."""
    try:
        with context.database.scheme(scheme_id, write=True) as session:
            return work(session)
    except IntegrityError:
        # Another worker wrote the same rows at the same moment; what is left, the next tick finds.
        log.info("another worker told these people", extra={"scheme": scheme_id})
        return 0


def _calendar(context: JobContext, items: Sequence[DueItem]) -> str:
    return documents.due_dates(
        items,
        base_url=context.settings.base_url,
        domain=context.settings.mail_domain,
        stamped_on=context.clock.now().date(),
    )
