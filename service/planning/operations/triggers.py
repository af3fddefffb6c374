"""What makes homes due for a new plan, and which homes those are."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from sqlalchemy import or_, select

from service.households.models import Contract, Household
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.planning.domain.household_week import HORIZON_DAYS
from service.planning.models import CurrentPlan, ReplanRun
from service.tariffs.models import TariffVersion


def households_on_tariff(session: SchemeSession, tariff_id: str, *, on: date) -> list[str]:
    """Return the homes with a contract for a tariff that touches the week from a day on."""
    last = on + timedelta(days=HORIZON_DAYS + 1)
    # A day of slack either way: homes count days in their own zones.
    return sorted(
        set(
            session.scalars(
                select(Contract.household_id).where(
                    Contract.tariff_id == tariff_id,
                    Contract.starts_on <= last,
                    or_(Contract.ends_on.is_(None), Contract.ends_on >= on - timedelta(days=1)),
                )
            )
        )
    )


def zones_in_use(session: SystemSession) -> Sequence[tuple[str, str]]:
    """Return each (scheme, zone) that has a home."""
    return [
        (scheme_id, zone) for scheme_id, zone in session.execute(select(Household.scheme_id, Household.zone).distinct())
    ]


def households_without_today(
    session: SchemeSession | SystemSession, zone: str, *, day_slot: int, scheme_id: str
) -> list[str]:
    """Return the homes of a zone whose plan began on an earlier local day, or that have none."""
    return list(
        session.scalars(
            select(Household.id)
            .outerjoin(CurrentPlan, (CurrentPlan.id == Household.id) & (CurrentPlan.scheme_id == Household.scheme_id))
            .where(
                Household.scheme_id == scheme_id,
                Household.zone == zone,
                or_(CurrentPlan.day_slot.is_(None), CurrentPlan.day_slot < day_slot),
            )
        )
    )


def versions_coming_into_view(session: SystemSession, *, on: date) -> Sequence[tuple[str, str, str]]:
    """Return (scheme, tariff, version) of each version that was published before any plan could reach its start."""
    rows = session.execute(
        select(
            TariffVersion.scheme_id,
            TariffVersion.tariff_id,
            TariffVersion.id,
            TariffVersion.published_at,
            TariffVersion.valid_from_on,
        ).where(
            TariffVersion.published_at.is_not(None),
            TariffVersion.valid_from_on > on,
            TariffVersion.valid_from_on < on + timedelta(days=HORIZON_DAYS),
        )
    )
    return [
        (scheme_id, tariff_id, version_id)
        for scheme_id, tariff_id, version_id, published_at, valid_from_on in rows
        if published_at and published_at.date() + timedelta(days=HORIZON_DAYS) <= valid_from_on
    ]


def day_attempts(session: SchemeSession, occasion: str) -> Sequence[tuple[datetime, datetime | None]]:
    """Return (created, finished) of the runs that a day's occasion has had, oldest first."""
    rows = session.execute(
        select(ReplanRun.created_at, ReplanRun.finished_at)
        .where(ReplanRun.occasion.startswith(occasion, autoescape=True))
        .order_by(ReplanRun.created_at)
    )
    return [(created_at, finished_at) for created_at, finished_at in rows]
