"""What tariffs announces; listeners stand in service/subscriptions.py."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class TariffChanged:
    """A version of a tariff was published."""

    tariff_id: str
    version_id: str


@dataclass(frozen=True)
class PricesArrived:
    """Half-hourly prices were stored, from ``first_slot`` to ``last_slot`` inclusive."""

    tariff_id: str
    first_slot: int
    last_slot: int
