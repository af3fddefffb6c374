"""Random households of one to four cars on a handful of half-hours, so small that limits meet all the time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.planning.domain.path_kernel import PriceTables, price_tables
from service.planning.domain.supply_flow import SupplyCar, SupplyPlan, share_supply


@dataclass(frozen=True)
class SmallWeek:
    """Cars under limits; prices are whole pence, some below zero."""

    prices: PriceTables
    cars: list[SupplyCar]
    headroom_wh: list[int]
    circuits_wh: list[list[int]]

    def plan(self, *, skips_certificate: bool = False) -> SupplyPlan:
        """Return the plan of the cars."""
        return share_supply(
            self.prices, self.cars, self.headroom_wh, self.circuits_wh, skips_certificate=skips_certificate
        )

    def lacking(self, plan: SupplyPlan) -> tuple[int, int]:
        """Return what important departures lack in a plan, and all of them [Wh]."""
        pairs = list(zip(self.cars, plan.cars, strict=True))
        short = [(car.is_important_at(stay), wh) for car, draws in pairs for stay, wh in enumerate(draws.unmet_wh)]
        return sum(wh for is_important, wh in short if is_important), plan.unmet_wh


def small_week(rng: np.random.Generator, cars: int | None = None) -> SmallWeek:
    """Return a household of so many cars, or of some."""
    count = int(rng.integers(1, 9))
    tables = price_tables(rng.integers(-4, 8, count) * 1_000_000)
    circuits = [rng.integers(0, 12, count).tolist() for _ in range(int(rng.integers(0, 3)))]
    found = []
    for ordinal in range(cars or int(rng.integers(1, 5))):
        stays = int(rng.integers(1, 4))
        cuts = np.sort(rng.integers(0, count + 1, 2 * stays)).tolist()
        windows = [[(cuts[2 * stay], cuts[2 * stay + 1], int(rng.integers(0, 9)))] for stay in range(stays)]
        lower = rng.integers(-8, 14, stays).tolist()
        upper = [bound + int(rng.integers(-2, 15)) for bound in lower]
        circuit = int(rng.integers(len(circuits))) if circuits and rng.random() < 0.7 else None
        important = [bool(flag) for flag in rng.random(stays) < 0.4] if rng.random() < 0.5 else []
        found.append(SupplyCar(ordinal, lower, upper, windows, circuit, important))
    return SmallWeek(tables, found, rng.integers(0, 14, count).tolist(), circuits)
