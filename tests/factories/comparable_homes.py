"""A home to compare with what it might be: one car on a 10 A lead, from Monday 5 January 2026, 00:00 in London."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from service.common.slots import slot_index
from service.common.working import Working
from service.households.domain.homes import (
    CarInputs,
    ContractInputs,
    HomeInputs,
    LeadInputs,
    OutletInputs,
    RoutineLine,
    SupplyInputs,
)
from service.planning.domain.home_week import HomeWeek, home_week
from service.planning.domain.price_book import PriceBook
from service.planning.domain.side_by_side import SideBySide, side_by_side
from service.planning.domain.what_if import Changes, assumptions, changed_clearances, changed_home
from service.safety.domain.clearance import Clearance, OutletClearance
from service.tariffs.domain.rate_bands import Band, RateSheet
from service.tariffs.domain.terms import TariffClock, TariffKind, TariffTerms, Version
from tests.factories.tariffs import night_draft

LONDON = ZoneInfo("Europe/London")
MONDAY = datetime(2026, 1, 5, tzinfo=UTC)
AS_OF = slot_index(MONDAY)
THIRTY, TWENTY, NIGHT = "a" * 32, "b" * 32, "c" * 32
"""Tariffs: 30 p at all times, 20 p at all times, 10 p from 01:00 to 05:00 and 30 p otherwise."""

SOCKET = OutletInputs("o" * 32, "garage socket", "socket_13a", None, "indoors", 10, 1, 1)
LEAD = LeadInputs("l" * 32, "lead", "mode_2", 10, 10)
CAR = CarInputs(
    id="d" * 32,
    ordinal=1,
    label="estate",
    battery_wh=40_000,
    miles_per_kwh=Decimal(4),
    onboard_limit_a=32,
    onboard_phases=1,
    ceiling_percent=80,
    reserve_percent=10,
    outlet_id=SOCKET.id,
    lead=LEAD,
    charge_percent=25,
    charge_read_at=MONDAY,
    routine=(RoutineLine(0, 720, 1080, 0, Decimal(32)),),
    journeys=(),
)


def home(
    *cars: CarInputs, outlets: tuple[OutletInputs, ...] = (SOCKET,), tariff: str = THIRTY, **more: Any
) -> HomeInputs:
    """Return a home with the cars given, or the one car."""
    contract = ContractInputs(tariff, date(2025, 1, 1), None, None, {})
    made = HomeInputs(
        "h" * 32, "H", "Europe/London", "england", None, None, 1, outlets, cars or (CAR,), (contract,), (LEAD,),
        supply=SupplyInputs(80, 1),
    )  # fmt: skip
    return replace(made, **more)


def cleared(of: HomeInputs) -> tuple[OutletClearance, ...]:
    """Return evidence that lets every outlet be used at its own limit."""
    return tuple(
        OutletClearance(each.id, Clearance.FIT_TO_USE, each.limit_a, None, "recorded", (), "", Working(()))
        for each in of.outlets
    )


def terms() -> Mapping[str, TariffTerms]:
    """Return the terms of the three tariffs."""
    flat = {
        tariff_id: (RateSheet(None, None, 0, (Band("all day", price_up, (), True),)),)
        for tariff_id, price_up in ((THIRTY, 30_000_000), (TWENTY, 20_000_000))
    }
    sheets = {**flat, NIGHT: tuple(night_draft("10", "30", window=(60, 300)).sheets)}
    return {
        tariff_id: TariffTerms(
            tariff_id, f"tariff {tariff_id[:1]}", TariffKind.BANDED, TariffClock.LOCAL,
            (Version(date(2025, 1, 1), each, True, Decimal(5)),), {},
        )
        for tariff_id, each in sheets.items()
    }  # fmt: skip


def week(of: HomeInputs, clearances: tuple[OutletClearance, ...] | None = None) -> HomeWeek:
    """Return the home's week."""
    return home_week(
        of,
        PriceBook(terms(), AS_OF).for_home(of, LONDON),
        cleared(of) if clearances is None else clearances,
        {},
        as_of_slot=AS_OF,
        zone=LONDON,
    )


def changed_week(
    of: HomeInputs, changes: Changes, clearances: tuple[OutletClearance, ...] | None = None
) -> HomeWeek:
    """Return the week of the home with something changed."""
    evidence = cleared(of) if clearances is None else clearances
    return week(changed_home(of, changes, from_on=MONDAY.date()), changed_clearances(evidence, of, changes))


def compared(
    of: HomeInputs, changes: Changes, clearances: tuple[OutletClearance, ...] | None = None
) -> SideBySide:
    """Return the home as it is and as it would be."""
    return side_by_side(week(of, clearances), changed_week(of, changes, clearances), assumptions(of, changes))
