"""What is said of a drive: the best place for the outlet, others, what is refused, what is not known, the working."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from service.advice.domain.notifiable_work import Note
from service.advice.domain.siting.candidates import Refusal, Side
from service.advice.domain.siting.shapes import Point
from service.common.working import Working
from service.safety.domain.arithmetic.answers import Answer


class Way(StrEnum):
    """Which way round a car stands."""

    NOSE_IN = "nose_in"
    NOSE_OUT = "nose_out"


@dataclass(frozen=True, slots=True)
class Reach:
    """Whether a car's cable reaches it in a place, one way round.

    ``ground_m`` is what would lie on the ground, ``needed_m`` that with the drop, the rise and the slack; None where
    there is no way shorter than any cable here. ``passes`` says what the cable lies across; ``is_usual`` marks the
    place in which the car is reckoned with.
    """

    car_id: str
    car_label: str
    place: int
    place_label: str
    way: Way
    is_usual: bool
    is_reached: bool
    is_crossing: bool
    ground_m: float | None
    needed_m: float | None
    cable_m: float
    route: tuple[Point, ...]
    passes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FixedCable:
    """The fixed cable to the consumer unit for one kind of outlet, with its voltage drop; lengths None: not known."""

    use: str
    size_mm2: Decimal
    current_a: int
    length_m: Decimal | None
    drop_v: Decimal | None
    drop_percent: Decimal | None
    is_within: Answer


@dataclass(frozen=True, slots=True)
class Position:
    """A position on a wall, and everything it was judged by."""

    wall: int
    side: Side
    face: str
    offset_m: float
    at: Point
    cars_reached: int
    ways_reached: int
    crossings: int
    ground_m: float
    run_m: float | None
    reaches: tuple[Reach, ...]
    cautions: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class RefusedPart:
    """A part of a wall on which no outlet goes, with the reason."""

    wall: int
    side: Side
    from_m: float
    to_m: float
    reason: Refusal
    words: str


@dataclass(frozen=True, slots=True)
class Siting:
    """The answer; ``best`` is None where no position reaches a car, and ``summary`` says why."""

    summary: str
    cars: int
    best: Position | None
    others: tuple[Position, ...]
    refused: tuple[RefusedPart, ...]
    fixed_cables: tuple[FixedCable, ...]
    not_known: tuple[str, ...]
    cautions: tuple[str, ...]
    notifiable: Note
    assumed: Mapping[str, str]
    working: Working
