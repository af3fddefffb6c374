"""The current that a photo shows a lead to be set to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.common.errors import Fault
from service.households.domain.equipment_details import CURRENT_MIN_A
from service.households.domain.ranges import refuse


@dataclass(frozen=True, slots=True)
class SettingShown:
    """A setting read off a photo [A]; ``settings_a`` is empty where nobody knows what the lead can be set to.

    Raises ``Rejected`` for a current outside what the lead can be set to.
    """

    shown_a: int
    rated_a: int
    settings_a: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        refuse(self._faults())

    def _faults(self) -> Iterator[Fault]:
        if not CURRENT_MIN_A <= self.shown_a <= self.rated_a:
            yield Fault("shown_a", self.shown_a, f"must lie between {CURRENT_MIN_A} A and the rated {self.rated_a} A")
        elif self.settings_a and self.shown_a not in self.settings_a:
            known = ", ".join(str(current) for current in sorted(self.settings_a))
            yield Fault("shown_a", self.shown_a, f"this lead is recorded to have the settings {known} A")
