"""A home's rows while its file is read: by stage of storing, and by the labels that later parts name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import ZoneInfo

from service.cli.seed.certificates import Certificate
from service.cli.seed.files import Moment, Node, stable_id
from service.cli.seed.people import Person
from service.households import models

STAGES = 5
"""Rows of a stage refer to rows of earlier stages only."""


@dataclass
class HomeRows:
    """A home's rows by stage, its people, and what its later parts look up by label."""

    household_id: str
    reference: str
    moment: Moment
    zone: ZoneInfo
    people: list[Person]
    stages: list[list[Any]] = field(default_factory=lambda: [[] for _ in range(STAGES)])
    outlets: dict[str, models.Outlet] = field(default_factory=dict)
    leads: dict[str, models.Lead] = field(default_factory=dict)
    circuits: dict[str, str] = field(default_factory=dict)
    certificates: list[Certificate] = field(default_factory=list)

    def id_of(self, kind: str, *names: str) -> str:
        """Return the id of a thing of this home."""
        return stable_id(kind, self.reference, *names)

    def add(self, stage: int, row: Any) -> None:
        """Keep a row for its stage."""
        self.stages[stage].append(row)


def claim(taken: dict[str, Any], node: Node, value: Any) -> Any:
    """Keep a value under its label, which no other of the home may have."""
    if taken.setdefault(node.text("label"), value) is not value:
        raise node.at("label").fault("is the label of another of this home")
    return value


def found(known: Mapping[str, Any], node: Node, name: str) -> Any:
    """Return what stands under the label that a name holds, or None where it holds null."""
    label = node.or_none(node.text, name)
    if label is not None and label not in known:
        raise node.at(name).fault(f"names {label!r}, which this home does not have")
    return None if label is None else known[label]
