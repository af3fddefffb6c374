"""Prices of many homes over one horizon: worked out once for all that buy on the same terms.

A home's week is priced from today's local midnight, so that the same terms give the same
digest all day; the part from the instant of planning on is what the solver sees.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from service.common.calendar import DayKind, Nation
from service.common.slots import instant_at, local_of, slot_index
from service.households.domain.homes import ContractInputs, HomeInputs
from service.planning.domain.household_week import HORIZON_DAYS, WeekPrices, week_prices
from service.tariffs.domain.prices import SlotPrices, price_slots
from service.tariffs.domain.rate_bands import Window
from service.tariffs.domain.terms import Contract, TariffClock, TariffTerms

ALL_DAYS = frozenset(DayKind)
ALL_MONTHS = frozenset(range(1, 13))
NO_TARIFF = "No tariff is recorded for this home"


@dataclass(frozen=True)
class LocalWeek:
    """Seven local days: the half-hours of today's midnight, of planning, and of the end."""

    day_slot: int
    first_slot: int
    end_slot: int
    first_day: date

    @classmethod
    def at(cls, as_of_slot: int, zone: ZoneInfo) -> LocalWeek:
        """Return the local week that contains a half-hour."""
        day = local_of(as_of_slot, zone).date()
        end = slot_index(instant_at(day + timedelta(days=HORIZON_DAYS), 0, zone))
        return cls(slot_index(instant_at(day, 0, zone)), as_of_slot, end, day)


@dataclass(frozen=True, eq=False)
class HomePrices:
    """What a home pays over its week, and what is not known of it."""

    week: WeekPrices
    day_digest: str
    tariff_name: str | None
    missing: tuple[str, ...]

    def fingerprint(self) -> str:
        """Return what differs where a plan may come to differ by its prices alone."""
        text = json.dumps([self.day_digest, self.tariff_name, self.missing], separators=(",", ":"))
        return hashlib.sha256(text.encode()).hexdigest()[:32]


class PriceBook:
    """Prices by terms; ask it for one home after another."""

    def __init__(self, terms: Mapping[str, TariffTerms], as_of_slot: int) -> None:
        self._terms = terms
        self._as_of_slot = as_of_slot
        self._known: dict[object, HomePrices] = {}

    def for_home(self, home: HomeInputs, zone: ZoneInfo) -> HomePrices:
        """Return the home's prices over its local week from the book's half-hour on."""
        week = LocalWeek.at(self._as_of_slot, zone)
        contracts = tuple(_clipped(contract, week) for contract in _in_week(home.contracts, week))
        key = (contracts, home.zone, home.nation, home.region, home.payment)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._priced(contracts, home, zone, week)
        return found

    def _priced(self, contracts: tuple[_Terms, ...], home: HomeInputs, zone: ZoneInfo, week: LocalWeek) -> HomePrices:
        parts = [self._slots(contract, home, zone, week) for contract in contracts]
        count = week.end_slot - week.day_slot
        if not parts:
            nothing = np.zeros(count, dtype=np.int64)
            return _home_prices(nothing, nothing.astype(bool), week, None, (NO_TARIFF,))
        price_up, is_known = parts[0].price_up.copy(), parts[0].is_known.copy()
        for part in parts[1:]:
            # A later contract takes over where the earlier one has no price.
            takes = part.is_known & ~is_known
            price_up[takes], is_known = part.price_up[takes], is_known | part.is_known
        missing = parts[0].missing if len(parts) == 1 else _gaps(is_known, week, zone)
        return _home_prices(price_up, is_known, week, self._terms[contracts[0].tariff_id].name, missing)

    def _slots(self, contract: _Terms, home: HomeInputs, zone: ZoneInfo, week: LocalWeek) -> SlotPrices:
        terms = self._terms[contract.tariff_id]
        return price_slots(
            kind=terms.kind,
            clock=terms.clock,
            versions=terms.versions,
            series=terms.series.get(home.region or "", terms.series.get("")),
            contract=Contract(
                starts_on=contract.starts_on,
                ends_on=contract.ends_on,
                clock=contract.clock,
                windows=dict(contract.windows),
                region=home.region,
                payment=home.payment,
            ),
            first_slot=week.day_slot,
            count=week.end_slot - week.day_slot,
            zone=zone,
            nation=Nation(home.nation),
        )


def price_key(home: HomeInputs, week: LocalWeek) -> str:
    """Return what homes have in common that pay the same prices all week, whatever their tariffs come to say."""
    contracts = [
        (terms.tariff_id, str(terms.starts_on), str(terms.ends_on), terms.clock, sorted(contract.windows.items()))
        for contract in _in_week(home.contracts, week)
        for terms in (_clipped(contract, week),)
    ]
    text = json.dumps([contracts, home.zone, home.nation, home.region, home.payment], separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def _gaps(is_known: np.ndarray[tuple[int], np.dtype[np.bool_]], week: LocalWeek, zone: ZoneInfo) -> tuple[str, ...]:
    """Name each period that none of several contracts prices."""
    edges = np.flatnonzero(np.diff(np.concatenate(([True], is_known, [True])).astype(np.int8)))
    return tuple(
        f"{_spoken(week.day_slot + int(first), zone)} to {_spoken(week.day_slot + int(end), zone)}: "
        "no contract has a price"
        for first, end in zip(edges[::2], edges[1::2], strict=True)
    )


def _spoken(slot: int, zone: ZoneInfo) -> str:
    local = local_of(slot, zone)
    return f"{local.day} {local:%B %Y %H:%M}"


@dataclass(frozen=True)
class _Terms:
    """A contract as far as this week can tell it from another: hashable, so homes share its prices."""

    tariff_id: str
    starts_on: date
    ends_on: date | None
    clock: TariffClock | None
    windows: tuple[tuple[str, tuple[Window, ...]], ...]


def _in_week(contracts: Iterable[ContractInputs], week: LocalWeek) -> list[ContractInputs]:
    """Return the contracts of the week in order; without any, the last one before it, whose end is then named."""
    last_day = week.first_day + timedelta(days=HORIZON_DAYS)
    begun = sorted((each for each in contracts if each.starts_on < last_day), key=lambda each: each.starts_on)
    running = [each for each in begun if each.ends_on is None or each.ends_on > week.first_day]
    return running or begun[-1:]


def _clipped(contract: ContractInputs, week: LocalWeek) -> _Terms:
    last_day = week.first_day + timedelta(days=HORIZON_DAYS)
    ends_on = contract.ends_on
    windows = tuple(
        (band, tuple(Window(first, end, ALL_DAYS, ALL_MONTHS) for first, end in spans))
        for band, spans in sorted(contract.windows.items())
    )
    is_over = ends_on is not None and ends_on <= week.first_day
    return _Terms(
        tariff_id=contract.tariff_id,
        starts_on=contract.starts_on if is_over else max(contract.starts_on, week.first_day),
        ends_on=ends_on if ends_on is not None and ends_on < last_day else None,
        clock=TariffClock(contract.clock) if contract.clock else None,
        windows=windows,
    )


def _home_prices(
    price_up: np.ndarray[tuple[int], np.dtype[np.int64]],
    is_known: np.ndarray[tuple[int], np.dtype[np.bool_]],
    week: LocalWeek,
    tariff_name: str | None,
    missing: tuple[str, ...],
) -> HomePrices:
    ahead = week.first_slot - week.day_slot
    whole_day = week_prices(week.day_slot, price_up, is_known)
    rest = whole_day if ahead == 0 else week_prices(week.first_slot, price_up[ahead:], is_known[ahead:])
    return HomePrices(rest, whole_day.digest, tariff_name, missing)
