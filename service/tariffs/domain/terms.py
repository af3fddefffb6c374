"""The terms under which a household buys: the tariff's kind, clock and versions, and its contract.

Dates become instants in ``prices``; here they are plain dates and half-open, ends excluded.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from service.common.errors import Fault, Rejected
from service.tariffs.domain.rate_bands import RateSheet, Window

VAT_UNITS = 10_000  # VAT is reckoned in hundredths of a percent of the price


class TariffKind(StrEnum):
    """How a tariff states its prices."""

    BANDED = "banded"  # windows of the day
    HALF_HOURLY = "half_hourly"  # a series, one price a half-hour


class TariffClock(StrEnum):
    """The clock on which windows are read."""

    LOCAL = "local"  # the wall clock of the household
    GMT = "gmt"  # a meter that stays on GMT all year, date and day kind with it


class MeterNeeded(StrEnum):
    """The meter that a tariff asks for; a half-hourly one also serves where two rates are told apart."""

    ANY = "any"
    TWO_RATE = "two_rate"
    HALF_HOURLY = "half_hourly"


@dataclass(frozen=True)
class Version:
    """The state of a tariff from the midnight that starts ``valid_from_on``, until the next version."""

    valid_from_on: date
    sheets: tuple[RateSheet, ...]
    vat_included: bool
    vat_percent: Decimal

    def __post_init__(self) -> None:
        percent = self.vat_percent
        if not percent.is_finite() or not 0 <= percent <= 100 or percent * 100 % 1:
            raise Rejected(Fault("vat_percent", str(percent), "must lie between 0 and 100, with at most two decimals"))

    @property
    def vat_to_add(self) -> int:
        """VAT to add to a stored price, in hundredths of a percent of it."""
        return 0 if self.vat_included else self.vat_units

    @property
    def vat_units(self) -> int:
        """VAT of what is paid, in hundredths of a percent of the price without it."""
        return int(self.vat_percent * 100)


def check_versions(versions: Sequence[Version]) -> None:
    """Refuse two versions that start on the same day; raises ``Rejected``."""
    starts = [version.valid_from_on for version in versions]
    faults = [
        Fault(f"versions.{position}.valid_from_on", start.isoformat(), f"another version already starts on {start}")
        for position, start in enumerate(starts)
        if start in starts[:position]
    ]
    if faults:
        raise Rejected(*faults)


class Series(Mapping[int, int]):
    """Half-hourly prices of one region: slot -> micro-pence per kWh, gaps allowed; never changes.

    Equal only to itself, so that a result worked out for one household can be found again for the
    next: build it once for a tariff and region and pass the same object.
    """

    def __init__(self, price_up_by_slot: Mapping[int, int]) -> None:
        slots = sorted(price_up_by_slot)
        self.slots: NDArray[np.int64] = np.array(slots, dtype=np.int64)
        self.price_up: NDArray[np.int64] = np.array([price_up_by_slot[slot] for slot in slots], dtype=np.int64)
        self.slots.setflags(write=False)
        self.price_up.setflags(write=False)

    __hash__ = object.__hash__

    def __eq__(self, other: object) -> bool:
        return self is other

    def __getitem__(self, slot: int) -> int:
        position = int(np.searchsorted(self.slots, slot))
        if position == len(self.slots) or self.slots[position] != slot:
            raise KeyError(slot)
        return int(self.price_up[position])

    def __iter__(self) -> Iterator[int]:
        return iter(self.slots.tolist())

    def __len__(self) -> int:
        return len(self.slots)


@dataclass(frozen=True)
class Contract:
    """A household's contract for a tariff, from the local midnight of ``starts_on``.

    ``ends_on`` is the first day without it, None if no end is known. ``clock`` and ``windows``
    (band name -> windows) hold where this household's meter differs from the tariff.
    """

    starts_on: date
    ends_on: date | None = None
    clock: TariffClock | None = None
    windows: Mapping[str, tuple[Window, ...]] = field(default_factory=dict)
    region: str | None = None
    payment: str | None = None

    def __post_init__(self) -> None:
        if self.ends_on is not None and self.ends_on <= self.starts_on:
            raise Rejected(Fault("ends_on", self.ends_on.isoformat(), "must be after starts_on"))
        empty = [name for name, windows in self.windows.items() if not windows]
        if empty:
            raise Rejected(*(Fault(f"windows.{name}", 0, "must hold at least one window") for name in empty))


@dataclass(frozen=True, eq=False)
class TariffTerms:
    """A tariff as planning reads it: published versions by start, and a price series by region ("" is any)."""

    id: str
    name: str
    kind: TariffKind
    clock: TariffClock
    versions: tuple[Version, ...]
    series: Mapping[str, Series]
