"""What a message tells, as values: nothing here knows how it is worded or laid out.

No value holds an address, or when somebody is at home; charging times and due dates are all there is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any
from zoneinfo import ZoneInfo


class Why(StrEnum):
    """Why charging times moved; as planning names the reasons of a run."""

    TARIFF_CHANGE = "tariff_change"
    PRICES_ARRIVED = "prices_arrived"
    NEW_DAY = "new_day"
    HOUSEHOLD_CHANGE = "household_change"


@dataclass(frozen=True)
class ChargingTime:
    """A car charges within [starts_at, ends_at), aware UTC instants."""

    starts_at: datetime
    ends_at: datetime


@dataclass(frozen=True)
class CarTimes:
    """When one car charges, in time order."""

    label: str
    times: tuple[ChargingTime, ...]


@dataclass(frozen=True)
class PlanNews:
    """That charging times moved; ``since_on`` is the day on which a changed tariff takes over, if it was that."""

    why: Why
    since_on: date | None
    zone: ZoneInfo
    today: date
    cars: tuple[CarTimes, ...]
    is_short: bool


@dataclass(frozen=True)
class ComingShortfall:
    """A car that will lack energy for one cause, over all departures in view; nothing of when it leaves.

    ``first_on`` is the local day of the first of them: it names the news, and no message tells it.
    """

    vehicle_id: str
    label: str
    cause: str
    first_on: date
    short_kwh: float
    short_miles: float
    next_step: str
    is_reserve_only: bool


@dataclass(frozen=True)
class DueItem:
    """Something to be checked again; ``days_left`` is negative once it is overdue.

    ``act`` is the page where it is done, ``uid`` names it in a calendar.
    """

    label: str
    due_on: date
    rule: str
    days_left: int
    act: str = "/reminders"
    uid: str = ""
    is_claimed: bool = False


@dataclass(frozen=True)
class AskedCheck:
    """A check that the scheme asks for now: what it is of, dated or never made, and what else is due."""

    dated: tuple[DueItem, ...]
    without: tuple[str, ...]
    others: tuple[DueItem, ...] = ()


@dataclass(frozen=True)
class OverdueHome:
    """A home, by its reference, in which something has been overdue for a week or more."""

    reference: str
    items: int
    days: int


@dataclass(frozen=True)
class OverdueNews:
    """What an administrator reads once a day: homes that are new in this message, and those told before."""

    new: tuple[OverdueHome, ...]
    known: tuple[OverdueHome, ...]
    unlisted: int = 0


@dataclass(frozen=True)
class UnreadNotice:
    """A safety notice that somebody in a home has not read, as the duty contact is told of it."""

    reference: str
    subject: str
    told_at: datetime
    why: str


@dataclass(frozen=True)
class StoppedThing:
    """An outlet or lead that must not be used now, and each thing that would lift that."""

    label: str
    lifts: tuple[str, ...]


@dataclass(frozen=True)
class StopNews:
    """That charging was stopped in a home: what was seen there, what is stopped, what to do now.

    ``is_danger`` false: nothing bad was seen, but what happened leaves it not known whether use is safe.
    """

    household_id: str
    reference: str
    is_danger: bool
    seen: tuple[str, ...]
    things: tuple[StoppedThing, ...]
    do_now: tuple[str, ...]


@dataclass(frozen=True)
class Reader:
    """Whom a message is for, and who runs the scheme they can ask."""

    name: str
    contacts: tuple[str, ...]


def car_times(document: Mapping[str, Any], *, after: datetime) -> tuple[CarTimes, ...]:
    """Return each car's charging times that end after an instant, out of a plan's document.

    The document is the one planning stores and shows: vehicles with stays with blocks, times in RFC 3339.
    """
    return tuple(
        CarTimes(vehicle["label"], tuple(time for time in _times(vehicle) if time.ends_at > after))
        for vehicle in document["vehicles"]
    )


def has_shortfall(document: Mapping[str, Any]) -> bool:
    """Tell whether the plan misses energy that some car needs."""
    return any(vehicle["shortfalls"] for vehicle in document["vehicles"])


def _times(vehicle: Mapping[str, Any]) -> list[ChargingTime]:
    blocks = (block for stay in vehicle["stays"] for block in stay["blocks"])
    times = (
        ChargingTime(datetime.fromisoformat(block["starts_at"]), datetime.fromisoformat(block["ends_at"]))
        for block in blocks
    )
    return sorted(times, key=lambda time: time.starts_at)


# What is missing at the outlet itself is told by safety notices and rechecks.
_TOLD_OTHERWISE = frozenset({"no_usable_outlet"})


def coming_shortfalls(document: Mapping[str, Any], *, after: datetime) -> tuple[ComingShortfall, ...]:
    """Return what cars will lack for departures after an instant, one entry for each car and cause."""
    zone = ZoneInfo(document["zone"])
    found: dict[tuple[str, str], list[Mapping[str, Any]]] = {}
    labels = {vehicle["vehicle_id"]: vehicle["label"] for vehicle in document["vehicles"]}
    for vehicle in document["vehicles"]:
        for short in vehicle["shortfalls"]:
            is_ahead = datetime.fromisoformat(short["leaves_at"]) > after
            if is_ahead and short["cause"] not in _TOLD_OTHERWISE:
                found.setdefault((vehicle["vehicle_id"], short["cause"]), []).append(short)
    return tuple(
        ComingShortfall(
            vehicle_id=vehicle_id,
            label=labels[vehicle_id],
            cause=cause,
            first_on=min(datetime.fromisoformat(each["leaves_at"]) for each in shorts).astimezone(zone).date(),
            short_kwh=sum(each["short_kwh"] for each in shorts),
            short_miles=sum(each["short_miles"] for each in shorts),
            next_step=shorts[0]["next_step"],
            is_reserve_only=all(each["is_reserve_only"] for each in shorts),
        )
        for (vehicle_id, cause), shorts in found.items()
    )
