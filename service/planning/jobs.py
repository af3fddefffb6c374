"""What the worker runs for planning: start a run for a reason, plan chunks, clear old runs."""

import logging
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from service.common.slots import slot_index
from service.households.domain.events import HouseholdChanged
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.failpoints import failpoint
from service.infrastructure.tasks import JobContext
from service.planning.domain.price_book import LocalWeek
from service.planning.operations import runs, triggers
from service.tariffs.domain.events import PricesArrived, TariffChanged
from service.tariffs.operations import get_version_label

log = logging.getLogger(__name__)


FIRST_RETRY = timedelta(minutes=5)
"""Own choice: a home that could not be planned is tried again after 10, 20, 40 minutes and so on."""


def replan_after_tariff_change(context: JobContext, session: SchemeSession, event: TariffChanged) -> None:
    """Start the run that replans every home on the tariff."""
    at = context.clock.now()
    homes = triggers.households_on_tariff(session, event.tariff_id, on=at.astimezone(UTC).date())
    runs.start_run(
        session,
        homes,
        occasion=f"tariff/{event.version_id}",
        reason="tariff_change",
        label=get_version_label(session, event.version_id),
        at=at,
        chunk_size=runs.chunk_size_at_new_prices(len(homes), context.settings.chunk_size),
        version_id=event.version_id,
    )
    failpoint("run.created")


def replan_after_prices_arrived(context: JobContext, session: SchemeSession, event: PricesArrived) -> None:
    """Start the run that replans every home on a half-hourly tariff whose prices arrived."""
    at = context.clock.now()
    homes = triggers.households_on_tariff(session, event.tariff_id, on=at.astimezone(UTC).date())
    runs.start_run(
        session,
        homes,
        occasion=f"prices/{event.tariff_id}/{at.isoformat()}",
        reason="prices_arrived",
        label="Half-hourly prices arrived",
        at=at,
        chunk_size=runs.chunk_size_at_new_prices(len(homes), context.settings.chunk_size),
    )


def replan_after_household_change(context: JobContext, session: SchemeSession, event: HouseholdChanged) -> None:
    """Start the one-home run for a change of that home."""
    runs.start_run(
        session,
        [event.household_id],
        occasion=f"household/{event.household_id}/{event.change_counter}",
        reason="household_change",
        label="A home changed",
        at=context.clock.now(),
        chunk_size=1,
        is_urgent=True,
    )


def replan_for_versions_in_view(context: JobContext) -> int:
    """Start a run a day for each version, published long before, whose first day lies within a plan's reach.

    It goes before the new day's own run, so that moved times are told as the tariff's doing; a home that
    first charges under the new prices later in the week is told on that day.
    """
    now = context.clock.now()
    today = now.astimezone(UTC).date()
    with context.database.system(write=False) as system:
        coming = triggers.versions_coming_into_view(system, on=today)
    started = 0
    for scheme_id, tariff_id, version_id in coming:
        occasion = f"tariff/{version_id}{runs.IN_VIEW}{today}"
        with context.database.scheme(scheme_id, write=False) as session:
            if runs.had_run(session, occasion):
                continue
        with context.database.scheme(scheme_id, write=True) as session:
            run = runs.start_run(
                session,
                triggers.households_on_tariff(session, tariff_id, on=today),
                occasion=occasion,
                reason="tariff_change",
                label=get_version_label(session, version_id),
                at=now,
                chunk_size=context.settings.chunk_size,
                version_id=version_id,
            )
        started += run is not None
    return started


def replan_for_new_day(context: JobContext) -> int:
    """Start runs for the homes whose local day has turned since they were planned."""
    now = context.clock.now()
    with context.database.system(write=False) as system:
        zones = triggers.zones_in_use(system)
    return sum(_start_day(context, scheme_id, zone, now) for scheme_id, zone in zones)


def _start_day(context: JobContext, scheme_id: str, zone: str, now: datetime) -> int:
    """Start a zone's run of the day; again, later and later, while homes were left without a plan of today."""
    week = LocalWeek.at(slot_index(now), ZoneInfo(zone))
    occasion = f"day/{zone}/{week.first_day}"
    with context.database.scheme(scheme_id, write=False) as session:
        due = triggers.households_without_today(session, zone, day_slot=week.day_slot, scheme_id=scheme_id)
        attempts = triggers.day_attempts(session, occasion)
    if not due or any(finished_at is None for _created_at, finished_at in attempts):
        return 0
    if attempts and now < attempts[-1][0] + FIRST_RETRY * 2 ** len(attempts):
        return 0
    with context.database.scheme(scheme_id, write=True) as session:
        run = runs.start_run(
            session,
            due,
            occasion=f"{occasion}/{len(attempts)}" if attempts else occasion,
            reason="new_day",
            label=f"New day {week.first_day}",
            at=now,
            chunk_size=context.settings.chunk_size,
        )
    return int(run is not None)


def replan_chunks(context: JobContext) -> int:
    """Plan one chunk that is due."""
    return runs.run_due_chunks(context)


def clear_old_plans(context: JobContext) -> int:
    """Forget runs that finished long ago, and plans that no longer hold and no charge is carried forward from."""
    now = context.clock.now()
    with context.database.system(write=False) as system:
        schemes = {scheme_id for scheme_id, _zone in triggers.zones_in_use(system)}
    for scheme_id in sorted(schemes):
        with context.database.scheme(scheme_id, write=True) as session:
            runs.clear_runs(session, before=now - runs.KEEP_RUNS)
            runs.clear_plans(session, before=now - runs.KEEP_PLANS)
    return 0
