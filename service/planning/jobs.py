"""What the worker runs for planning: start a run for a reason, plan chunks, clear old runs."""

from datetime import UTC
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
        chunk_size=context.settings.chunk_size,
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
        chunk_size=context.settings.chunk_size,
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
    )


def replan_for_new_day(context: JobContext) -> int:
    """Start runs for the homes whose local day has turned since they were planned."""
    now = context.clock.now()
    started = 0
    with context.database.system(write=False) as system:
        zones = triggers.zones_in_use(system)
    for scheme_id, zone in zones:
        week = LocalWeek.at(slot_index(now), ZoneInfo(zone))
        with context.database.scheme(scheme_id, write=False) as session:
            due = triggers.households_without_today(session, zone, day_slot=week.day_slot, scheme_id=scheme_id)
        if not due:
            continue
        with context.database.scheme(scheme_id, write=True) as session:
            run = runs.start_run(
                session,
                due,
                occasion=f"day/{zone}/{week.first_day}",
                reason="new_day",
                label=f"New day {week.first_day}",
                at=now,
                chunk_size=context.settings.chunk_size,
            )
        started += run is not None
    return started


def replan_chunks(context: JobContext) -> int:
    """Plan one chunk that is due."""
    return runs.run_due_chunks(context)


def clear_old_runs(context: JobContext) -> int:
    """Forget runs that finished long ago."""
    before = context.clock.now() - runs.KEEP_RUNS
    with context.database.system(write=False) as system:
        schemes = {scheme_id for scheme_id, _zone in triggers.zones_in_use(system)}
    for scheme_id in sorted(schemes):
        with context.database.scheme(scheme_id, write=True) as session:
            runs.clear_runs(session, before=before)
    return 0
