"""From what is stored of a home to the week the planner solves, and what shows that nothing changed.

Two fingerprints: the terms (all that is asked of the planner, without the instant of asking)
and the inputs (the terms as solved from one half-hour on).  Equal terms need no new plan.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from service.common.slots import slot_index, slot_start
from service.households.domain.homes import HomeInputs
from service.planning.domain.car_week import USABLE, CarSetting, CarWeek, Feed, PlannedBefore, car_week
from service.planning.domain.evening import NOON_MIN, quiet_spans, slots_at
from service.planning.domain.fingerprint import fingerprint
from service.planning.domain.home_supply import supply_limits
from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.path_kernel import SOLVER_VERSION
from service.planning.domain.price_book import HomePrices, LocalWeek
from service.safety.domain.clearance import OutletClearance
from service.safety.domain.lead_clearance import LeadClearance


@dataclass(frozen=True)
class HomeWeek:
    """One home, ready to plan."""

    home: HomeInputs
    prices: HomePrices
    local: LocalWeek
    cars: tuple[CarWeek, ...]
    week: HouseholdWeek
    terms_fingerprint: str

    def input_fingerprint(self) -> str:
        """Return what would give this very plan again."""
        named = f"{self.home.id}/{self.terms_fingerprint}/{fingerprint(self.week)}"
        return hashlib.sha256(named.encode()).hexdigest()


def home_week(
    home: HomeInputs,
    prices: HomePrices,
    clearances: Sequence[OutletClearance],
    before: Mapping[str, PlannedBefore],
    *,
    as_of_slot: int,
    zone: ZoneInfo,
    leads: Sequence[LeadClearance] = (),
) -> HomeWeek:
    """Return the week of one home from a half-hour on.

    ``before`` holds, by vehicle, what the plan in force says; ``clearances`` and ``leads`` are what evidence
    says of outlets and leads at that half-hour.
    """
    local = LocalWeek.at(as_of_slot, zone)
    setting = CarSetting(
        outlets={outlet.id: outlet for outlet in home.outlets},
        cleared={clearance.outlet_id: clearance for clearance in clearances},
        cleared_leads={lead.lead_id: lead for lead in leads},
        quantile_permille=home.evening.need_quantile_permille,
        local=local,
        zone=zone,
    )
    cars = tuple(
        car_week(car, setting, before.get(car.id)) for car in sorted(home.cars, key=lambda car: car.ordinal)
    )
    limits = supply_limits(home, cars, local, zone)
    week = HouseholdWeek(
        prices.week,
        tuple(replace(car.solved, steps=(*car.solved.steps, *limits.steps)) for car in cars),
        swap_slots=slots_at(local, zone, home.evening.swap_times_min),
        noon_slots=slots_at(local, zone, (NOON_MIN,)),
        quiet_spans=quiet_spans(local, zone, home.evening.quiet_min),
        headroom_wh=limits.headroom_wh,
        circuits_wh=limits.circuits_wh,
    )
    return HomeWeek(home, prices, local, cars, week, _terms(home, prices, local, cars))


def _terms(home: HomeInputs, prices: HomePrices, local: LocalWeek, cars: Sequence[CarWeek]) -> str:
    terms = [
        SOLVER_VERSION,
        home.zone,
        local.day_slot,
        prices.day_digest,
        prices.tariff_name,
        list(prices.missing),
        home.evening.swap_times_min,
        home.evening.quiet_min,
        _supply_terms(home, cars),
        [_car_terms(car, local) for car in cars],
    ]
    return hashlib.sha256(json.dumps(terms, separators=(",", ":")).encode()).hexdigest()


def _supply_terms(home: HomeInputs, cars: Sequence[CarWeek]) -> list[object]:
    """Return what the supply's limits are made from, where two outlets could bind them at all."""
    outlets = {feed.option.outlet_id for car in cars for feed in (car.usual, *car.others) if feed.current is not None}
    if len(outlets) < 2:
        return []
    digest = hashlib.sha256(repr(home.readings).encode()).hexdigest() if home.readings else ""
    return [home.supply.fuse_a, home.supply.phases, home.evening.yearly_kwh, digest]


def _feed_terms(feed: Feed) -> list[object]:
    option = feed.option
    return [
        option.outlet_id,
        feed.outlet.label if feed.outlet else None,
        option.cap_wh,
        str(feed.current.limit_a) if feed.current else None,
        option.usable_until_slot if feed.clearance and feed.clearance.clearance in USABLE else 0,
        feed.lead.clearance.value if feed.lead else None,
        feed.pair.words if feed.pair else None,
        option.control.value,
        option.start_loss_wh,
        option.circuit_id,
    ]


def _car_terms(week: CarWeek, local: LocalWeek) -> list[object]:
    solved, car = week.solved, week.car
    careful_wh = {trip.key: trip.careful_wh for trip in solved.trips}
    return [
        car.id,
        car.label,
        solved.ordinal,
        [_feed_terms(feed) for feed in (week.usual, *week.others)],
        solved.battery_wh,
        solved.efficiency_permille,
        solved.taper_permille,
        solved.standby_w,
        solved.ceiling_permille,
        solved.reserve_permille,
        str(car.miles_per_kwh),
        car.charge_percent,
        car.charge_read_at.isoformat() if car.charge_read_at else None,
        [
            [
                trip.key,
                slot_index(trip.leaves_at),
                trip.leaves_at.minute,
                trip.returns_at.isoformat(),
                str(trip.miles),
                trip.is_important,
                careful_wh.get(trip.key, 0),
            ]
            for trip in week.trips
            if trip.returns_at > slot_start(local.day_slot)
        ],
    ]
