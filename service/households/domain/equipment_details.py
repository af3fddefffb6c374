"""What people say of circuits, outlets and leads, checked as it is put together.

Currents are per phase [A]. A plan holds them for hours, so they are what the thing may carry
for hours on end, not what its fuse lets through.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.common.errors import Fault
from service.households.domain.equipment import (
    SOCKET_LIMIT_A,
    SOCKET_SUSTAINED_LIMIT_A,
    CircuitRunKind,
    LeadKind,
    OutletKind,
    Place,
)
from service.households.domain.ranges import (
    LABEL_LENGTH_MAX,
    in_range,
    known_word,
    of_decimals,
    of_phases,
    refuse,
    text_within,
)

CURRENT_MIN_A = 6  # least current a pilot signal can ask for [A], IEC 61851-1
CURRENT_MAX_A = 80  # greatest current a pilot signal can state [A], IEC 61851-1
MODE_2_MAX_A = 32  # scope of IEC 62752 for leads with in-cable protection [A]
RUNS_MAX = 20  # own bound on the runs of one circuit


@dataclass(frozen=True)
class RunDetails:
    """One run of a circuit; the texts may be empty and ``length_m`` None where nobody knows."""

    kind: str
    device: str = ""
    cable: str = ""
    method: str = ""
    length_m: Decimal | None = None

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, CircuitRunKind),
            text_within("device", self.device, 120),
            text_within("cable", self.cable, 80),
            text_within("method", self.method, 80),
            _length_faults(self.length_m),
        )


@dataclass(frozen=True)
class CircuitDetails:
    """The way from the origin to an outlet, as runs in order."""

    label: str
    runs: tuple[RunDetails, ...]

    def __post_init__(self) -> None:
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            [] if 1 <= len(self.runs) <= RUNS_MAX else [Fault("runs", len(self.runs), f"must be 1 to {RUNS_MAX}")],
        )


@dataclass(frozen=True)
class OutletDetails:
    """Where a vehicle is fed; ``is_tethered`` of a charging point may be None, not known.

    Raises ``Rejected`` also where a 13 A socket is to carry more for hours than it can.
    """

    label: str
    kind: str
    limit_a: int
    phases: int = 1
    is_tethered: bool | None = None
    place: str = Place.NOT_KNOWN
    circuit_id: str | None = None
    maker_model: str = ""
    serial_or_batch: str = ""
    supplied_by: str = ""
    since_on: date | None = None

    def __post_init__(self) -> None:
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            known_word("kind", self.kind, OutletKind),
            in_range("limit_a", self.limit_a, CURRENT_MIN_A, CURRENT_MAX_A, "A"),
            of_phases("phases", self.phases),
            _socket_faults(self) if self.kind == OutletKind.SOCKET_13A else (),
            known_word("place", self.place, Place),
            _identity_faults(self),
        )


@dataclass(frozen=True)
class LeadDetails:
    """A lead: its rated current and the current it is set to now, which is what a plan reckons with."""

    label: str
    kind: str
    rated_a: int
    set_a: int
    maker_model: str = ""
    serial_or_batch: str = ""
    supplied_by: str = ""
    since_on: date | None = None

    def __post_init__(self) -> None:
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            known_word("kind", self.kind, LeadKind),
            in_range("rated_a", self.rated_a, CURRENT_MIN_A, CURRENT_MAX_A, "A"),
            in_range("set_a", self.set_a, CURRENT_MIN_A, CURRENT_MAX_A, "A"),
            _lead_faults(self),
            _identity_faults(self),
        )


def _socket_faults(outlet: OutletDetails) -> Iterator[Fault]:
    if outlet.limit_a > SOCKET_LIMIT_A:
        yield Fault("limit_a", outlet.limit_a, f"a 13 A socket never carries more than {SOCKET_LIMIT_A} A")
    elif outlet.limit_a > SOCKET_SUSTAINED_LIMIT_A:
        rule = f"an ordinary 13 A socket carries {SOCKET_SUSTAINED_LIMIT_A} A for hours, not more (common practice)"
        yield Fault("limit_a", outlet.limit_a, rule)
    if outlet.phases == 3:
        yield Fault("phases", outlet.phases, "a 13 A socket has 1 phase")
    if outlet.is_tethered:
        yield Fault("is_tethered", outlet.is_tethered, "a 13 A socket has no cable of its own")


def _lead_faults(lead: LeadDetails) -> Iterator[Fault]:
    if lead.set_a > lead.rated_a:
        yield Fault("set_a", lead.set_a, f"must not be above the rated current, {lead.rated_a} A")
    if lead.kind == LeadKind.MODE_2 and lead.rated_a > MODE_2_MAX_A:
        yield Fault("rated_a", lead.rated_a, f"a mode 2 lead is rated for at most {MODE_2_MAX_A} A (IEC 62752)")


def _length_faults(length_m: Decimal | None) -> Iterator[Fault]:
    if length_m is not None:
        yield from in_range("length_m", length_m, 0, 1000, "m")
        yield from of_decimals("length_m", length_m, 1)


def _identity_faults(item: OutletDetails | LeadDetails) -> Iterator[Fault]:
    yield from text_within("maker_model", item.maker_model, 120)
    yield from text_within("serial_or_batch", item.serial_or_batch, 80)
    yield from text_within("supplied_by", item.supplied_by, 120)
