"""Who can take the demo's tariffs, and which meter its homes have: put on rows before they are stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Final

from service.cli.seed.files import Node
from service.households.domain.equipment import MeterKind
from service.households.domain.meter_details import MeterDetails
from service.households.models import Household
from service.tariffs.domain.taking import TakingTerms
from service.tariffs.models import Tariff

TAKING_FILE: Final = "taking.json"
_TERMS: Final = ("meter_needed", "needs_charging_point", "other_terms", "is_open", "exit_fee_pence", "fixed_months")


def add_taking(root: Node, tariffs: Mapping[str, Tariff], homes: Iterable[Household]) -> None:
    """Put the terms on tariffs by name and the kind of meter on homes by reference; raises ``SeedError``."""
    root.object("tariffs", "meters")
    by_reference = {home.reference: home for home in homes}
    terms = root.at("tariffs").object(optional=tuple(tariffs))
    for name in terms.value:
        node = terms.at(name).object(optional=_TERMS)
        with node.checked():
            values = asdict(TakingTerms(**node.value))
        for field, value in values.items():
            setattr(tariffs[name], field, getattr(value, "value", value))
    meters = root.at("meters").object(optional=tuple(kind.value for kind in MeterKind))
    for kind, references in meters.value.items():
        unknown = sorted(set(references) - by_reference.keys())
        if unknown:
            raise meters.at(kind).fault(f"names {', '.join(unknown)}, which no file in homes/ describes")
        for reference in references:
            by_reference[reference].meter_kind = MeterDetails(kind).meter_kind
