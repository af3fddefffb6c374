"""What safety announces."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class UseStopped:
    """Signs were reported in one go that stop charging in a home; everybody concerned is told once.

    ``report_ids`` comes back from the outbox as a list.
    """

    household_id: str
    report_ids: tuple[str, ...]


@dataclass(frozen=True)
class InspectionStopped:
    """An inspection was recorded with a finding that stops charging from its outlet."""

    household_id: str
    inspection_id: str
    outlet_label: str
    codes: tuple[str, ...]


@dataclass(frozen=True)
class ExtensionStopped:
    """An extension lead was recorded in use through which nothing may be charged."""

    household_id: str
    extension_id: str


@dataclass(frozen=True)
class MadeStricter:
    """A safety officer made the answer for an item of a home stricter."""

    household_id: str
    override_id: str
