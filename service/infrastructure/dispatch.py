"""Carry events to their handlers: fan each out once, then run each delivery to its end.

A handler's effect and the end of its delivery are one transaction.  A delivery that fails is
tried again with growing delays and, after the last, kept as given up for a person to see.
"""

import logging
from collections.abc import Sequence

from sqlalchemy import select, update

from service.infrastructure.claims import Claim, LeaseLost, backoff_ms, claim_rows, finish
from service.infrastructure.db.types import database_now_ms
from service.infrastructure.failpoints import failpoint
from service.infrastructure.outbox import Delivery, Event
from service.infrastructure.tasks import JobContext, Subscription

FAN_OUT_BATCH = 200
DELIVERY_BATCH = 20
RETRY_DELAYS_S = (1, 5, 30, 120, 600, 3600)
log = logging.getLogger(__name__)


def has_news(context: JobContext) -> bool:
    """Tell whether an event waits to be carried; one short read, for a worker that has nothing else to do."""
    with context.database.system(write=False) as session:
        return session.scalar(select(Event.id).where(Event.is_fanned_out.is_(False)).limit(1)) is not None


def fan_out(context: JobContext, subscriptions: Sequence[Subscription]) -> int:
    """Give each new event one delivery per handler; return how many events were taken."""
    with context.database.system(write=True) as session:
        events = session.execute(
            select(Event.scheme_id, Event.id, Event.name)
            .where(Event.is_fanned_out.is_(False))
            .order_by(Event.happened_at, Event.id)
            .limit(FAN_OUT_BATCH)
            .with_for_update(skip_locked=True)
        ).all()
        for scheme_id, event_id, name in events:
            for subscription in subscriptions:
                if subscription.event.__name__ == name:
                    session.add(Delivery(scheme_id=scheme_id, event_id=event_id, handler=subscription.name))
            session.execute(
                update(Event).where(Event.scheme_id == scheme_id, Event.id == event_id).values(is_fanned_out=True)
            )
    if events:
        failpoint("event.fanned_out")
    return len(events)


def deliver(context: JobContext, subscriptions: Sequence[Subscription]) -> int:
    """Run the deliveries that are due; return how many were taken."""
    handlers = {subscription.name: subscription for subscription in subscriptions}
    with context.database.system(write=True) as session:
        claims = claim_rows(session, Delivery, limit=DELIVERY_BATCH, lease_ms=context.settings.lease_s * 1000)
    if claims:
        failpoint("delivery.claimed")
    for claim in claims:
        _run(context, handlers, claim)
    return len(claims)


def _run(context: JobContext, handlers: dict[str, Subscription], claim: Claim) -> None:
    try:
        with context.database.scheme(claim.scheme_id, write=True) as session:
            name, event_id = session.execute(
                select(Delivery.handler, Delivery.event_id).where(Delivery.id == claim.id)
            ).one()
            event = session.scalars(select(Event).where(Event.id == event_id)).one()
            subscription = handlers[name]
            subscription.handler(context, session, subscription.event(**event.payload))
            session.flush()
            finish(session, Delivery, claim, status="done")
            failpoint("delivery.before_commit")
        failpoint("delivery.committed")
    except LeaseLost:
        log.warning("a delivery was taken over", extra={"delivery": claim.id})
    except Exception:
        log.exception("a delivery failed", extra={"delivery": claim.id})
        put_back(context, Delivery, claim, RETRY_DELAYS_S, "see the log")


def put_back(context: JobContext, model: type, claim: Claim, delays_s: Sequence[int], reason: str) -> None:
    """Return a claimed row to the queue for a later try, or give it up after the last."""
    with context.database.system(write=True) as session:
        attempts = session.scalar(
            select(model.attempts).where(model.scheme_id == claim.scheme_id, model.id == claim.id)  # type: ignore[attr-defined]
        )
        wait_ms = backoff_ms(attempts or 1, delays_s)
        try:
            if wait_ms is None:
                finish(session, model, claim, status="given_up", reason=reason[:300])
            else:
                due_ms = database_now_ms() + wait_ms
                finish(session, model, claim, status="waiting", not_before_ms=due_ms, reason=reason[:300])
        except LeaseLost:
            log.warning("a row was taken over before it could be put back", extra={"row": claim.id})
