"""A home as the planner reads it: what feeds its cars, the cars, their diaries and its contracts.

These values come from rows that were checked when they were written, thousands at a time, so
they check nothing again; the rules stand with the ``...Details`` that people type in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal


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
    it has been as it is; ``car_place`` is where the member says the car stands.
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
    until somebody read it.
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
class HomeInputs:
    """All that planning needs of one home; outlets and cars stand by ordinal, contracts by start, leads by label."""

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
