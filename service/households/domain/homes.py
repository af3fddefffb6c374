"""A home as the planner reads it: what feeds its cars, the cars, their diaries and its contracts.

These values come from rows that were checked when they were written, thousands at a time, so
they check nothing again; the rules stand with the ``...Details`` that people type in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from service.households.domain.outlet_changes import OutletChanged


@dataclass(frozen=True, slots=True)
class RoutineLine:
    """A weekly departure: weekday 0 is Monday, times are minutes after local midnight."""

    weekday: int
    leaves_min: int
    returns_min: int
    returns_days_later: int
    miles: Decimal


@dataclass(frozen=True, slots=True)
class JourneyLine:
    """A dated departure [leaves_at, returns_at), UTC; it may stand in for the routine of its days."""

    id: str
    leaves_at: datetime
    returns_at: datetime
    miles: Decimal
    is_important: bool
    replaces_routine: bool


@dataclass(frozen=True, slots=True)
class OutletInputs:
    """An outlet: ``kind`` and ``place`` as in ``equipment``, ``limit_a`` for hours on end [A per phase].

    ``circuit_id`` is None where nobody recorded which circuit it is on, ``since_on`` where nobody knows since when
    it has been as it is; ``car_place`` is where the member says the car stands.  ``control`` is how its times are
    set, as in ``equipment``; ``start_delay_s`` how late it may start by itself, None where nobody said.  ``changes``
    are the edits after which an earlier inspection no longer speaks of it, the oldest first.
    """

    id: str
    label: str
    kind: str
    is_tethered: bool | None
    place: str
    limit_a: int
    phases: int
    ordinal: int
    circuit_id: str | None = None
    since_on: date | None = None
    car_place: str = "not_known"
    control: str = "not_known"
    start_delay_s: int | None = None
    changes: tuple[OutletChanged, ...] = field(default=(), kw_only=True)


@dataclass(frozen=True, slots=True)
class LeadInputs:
    """A lead: what it is rated for, what it is set to now, and what it can be set to [A].

    ``setting_shown_a`` is the setting that a photo showed, None without one.
    """

    id: str
    label: str
    kind: str
    rated_a: int
    set_a: int
    settings_a: tuple[int, ...] = ()
    setting_shown_a: int | None = None


@dataclass(frozen=True, slots=True)
class CarInputs:
    """A vehicle with its usual outlet and lead, last known charge, routine and coming journeys.

    ``battery_wh`` is usable energy, ``miles_per_kwh`` counts battery kWh, ``charge_percent`` is None
    until somebody read it.  ``other_outlet_ids`` could feed it too; from ``taper_from_percent`` on it draws less;
    standing, it takes ``standby_w`` from its battery; ``diary`` has the miles of days that were kept, oldest first.
    """

    id: str
    ordinal: int
    label: str
    battery_wh: int
    miles_per_kwh: Decimal
    onboard_limit_a: int
    onboard_phases: int
    ceiling_percent: int
    reserve_percent: int
    outlet_id: str | None
    lead: LeadInputs | None
    charge_percent: int | None
    charge_read_at: datetime | None
    routine: tuple[RoutineLine, ...]
    journeys: tuple[JourneyLine, ...]
    other_outlet_ids: tuple[str, ...] = ()
    taper_from_percent: int | None = None
    standby_w: int = 0
    diary: tuple[tuple[date, Decimal], ...] = ()


@dataclass(frozen=True, slots=True)
class ContractInputs:
    """A contract from the local midnight of ``starts_on``; ``ends_on`` is the first day without it.

    ``clock`` and ``windows`` ({band: [[start_min, end_min], ...]}) hold where this home's meter differs.
    """

    tariff_id: str
    starts_on: date
    ends_on: date | None
    clock: str | None
    windows: Mapping[str, Sequence[Sequence[int]]]


@dataclass(frozen=True, slots=True)
class EveningInputs:
    """What the people of a home do and like: ``swap_times_min`` after local midnight, when one is up to swap cars.

    ``need_quantile_permille`` is how sure a plan is to cover a day's miles; ``yearly_kwh`` what the house uses in a
    year without its cars, None where not known; between ``quiet_min`` (from, until) nothing charges.
    """

    swap_times_min: tuple[int, ...] = (1140,)
    need_quantile_permille: int = 900
    yearly_kwh: int | None = None
    quiet_min: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class SupplyInputs:
    """What comes into the home: the fuse [A per phase], None where not known, and phases."""

    fuse_a: int | None = None
    phases: int = 1


@dataclass(frozen=True, slots=True)
class HomeInputs:
    """All that planning needs of one home; outlets and cars stand by ordinal, contracts by start, leads by label.

    ``readings`` are (half-hour, Wh) of the whole home, oldest first.
    """

    id: str
    reference: str
    zone: str
    nation: str
    region: str | None
    payment: str | None
    change_counter: int
    outlets: tuple[OutletInputs, ...]
    cars: tuple[CarInputs, ...]
    contracts: tuple[ContractInputs, ...]
    leads: tuple[LeadInputs, ...] = ()
    evening: EveningInputs = EveningInputs()
    supply: SupplyInputs = SupplyInputs()
    readings: tuple[tuple[int, int], ...] = ()
