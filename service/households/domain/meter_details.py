"""What people say of a home's electricity meter: which kind it is, and what its registers stood at on days."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.common.errors import Fault
from service.households.domain.equipment import MeterKind
from service.households.domain.habit_details import YEARLY_MAX_KWH
from service.households.domain.ranges import in_range, known_word, of_decimals, refuse, text_within

REGISTER_LENGTH_MAX = 24
METER_MAX_KWH = 999_999_999
"""Own bound: what a register of nine digits can show."""
FIRST_DAY = date(2000, 1, 1)


@dataclass(frozen=True)
class MeterDetails:
    """``yearly_kwh`` is what the house uses without its cars, None where not known."""

    meter_kind: str = MeterKind.NOT_KNOWN
    yearly_kwh: int | None = None

    def __post_init__(self) -> None:
        refuse(
            known_word("meter_kind", self.meter_kind, MeterKind),
            () if self.yearly_kwh is None else in_range("yearly_kwh", self.yearly_kwh, 0, YEARLY_MAX_KWH, "kWh"),
        )


@dataclass(frozen=True)
class MeterEntry:
    """What a register stood at on a day [kWh]; ``register`` is empty where the meter has one only."""

    read_on: date
    kwh: Decimal
    register: str = ""

    def __post_init__(self) -> None:
        refuse(
            text_within("register", self.register, REGISTER_LENGTH_MAX),
            in_range("kwh", self.kwh, 0, METER_MAX_KWH, "kWh"),
            of_decimals("kwh", self.kwh, 1),
        )


def check_entry(entry: MeterEntry, others: Iterable[tuple[str, date, Decimal]], *, today: date) -> None:
    """Refuse a reading from the future, one of a day that has one, or one that a register cannot have shown.

    ``others`` are the home's other readings as (register, day, kWh). Raises ``Rejected``.
    """
    refuse(_day_faults(entry, today), _order_faults(entry, list(others)))


def _day_faults(entry: MeterEntry, today: date) -> list[Fault]:
    if FIRST_DAY <= entry.read_on <= today:
        return []
    return [Fault("read_on", entry.read_on.isoformat(), f"must lie between {FIRST_DAY} and today")]


def _order_faults(entry: MeterEntry, others: list[tuple[str, date, Decimal]]) -> list[Fault]:
    faults = []
    for _, read_on, kwh in (other for other in others if other[0] == entry.register):
        if read_on == entry.read_on:
            faults.append(Fault("read_on", str(read_on), "this day has a reading already: take that one out first"))
        elif (read_on < entry.read_on) != (kwh <= entry.kwh) and kwh != entry.kwh:
            when = "before" if read_on < entry.read_on else "after"
            rule = f"a register never runs back: it stood at {kwh:f} kWh on {read_on}, {when} this day"
            faults.append(Fault("kwh", f"{entry.kwh:f}", rule))
    return faults
