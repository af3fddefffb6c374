"""Random drives: house walls that hang together, places at any angle, paths, footways, doors, meters; and cars."""

from __future__ import annotations

from random import Random

from service.advice.domain.siting.drawing import (
    Area,
    AreaKind,
    Drawing,
    Face,
    Mark,
    MarkKind,
    Opening,
    OpeningKind,
    Place,
    Spot,
    Stretch,
    Wall,
)
from service.advice.domain.siting.search import CarAtHome
from service.common.errors import Rejected
from service.households.domain.equipment import PortPosition

WIDTH_DM, DEPTH_DM = 140, 110
PORTS = [port for port in PortPosition if port != PortPosition.NOT_KNOWN]


def random_drive(rng: Random) -> tuple[Drawing, list[CarAtHome]]:
    """Return a drive that is in order, and one to three cars whose ports and cables are known."""
    while True:
        try:
            return _drive(rng), [
                CarAtHome(str(at), f"car {at}", rng.choice(PORTS), rng.choice([4, 5, 5, 7, 7.5, 10, 12]))
                for at in range(rng.randint(1, 3))
            ]
        except Rejected:
            continue  # something did not fit on the paper: draw another


def _drive(rng: Random) -> Drawing:
    walls = _walls(rng)
    kinds = [rng.choice(list(OpeningKind)) for _ in range(rng.randint(0, 2))]
    openings = [Opening(*_part(rng, walls, 12), kind) for kind in kinds]
    stretches = [] if rng.random() < 0.6 else [Stretch(*_part(rng, walls, 30)) for _ in range(rng.randint(1, 3))]
    return Drawing(
        WIDTH_DM,
        DEPTH_DM,
        tuple(walls),
        tuple(stretches),
        tuple(openings),
        tuple(_place(rng, at) for at in range(rng.randint(1, 3))),
        tuple(_area(rng) for _ in range(rng.randint(0, 3))),
        tuple(Mark(rng.choice(list(MarkKind)), _spot(rng)) for _ in range(rng.randint(0, 2))),
        rng.choice([None, walls[0].start, _spot(rng)]),
        rng.choice([5, 8, 10, 12]),
        None,
        rng.choice([38, 45, 48]),
        rng.choice([17, 19]),
    )


def _walls(rng: Random) -> list[Wall]:
    """Return a chain of walls, at right angles or slanted, and sometimes one more that stands apart."""
    at = _spot(rng)
    walls = []
    for number in range(rng.randint(1, 4)):
        if rng.random() < 0.7:
            step = rng.choice([-1, 1]) * rng.randint(15, 60)
            to = (at[0] + step, at[1]) if number % 2 else (at[0], at[1] + step)
        else:
            to = (at[0] + rng.randint(-50, 50), at[1] + rng.randint(-50, 50))
        walls.append(Wall(at, to, *rng.choices(list(Face), [6, 2, 1], k=2)))
        at = to
    if rng.random() < 0.3:
        walls.append(Wall(_spot(rng), _spot(rng)))
    return walls


def _part(rng: Random, walls: list[Wall], longest_dm: int) -> tuple[int, int, int]:
    """Return a wall, and from where to where along it."""
    at = rng.randrange(len(walls))
    start = rng.randint(0, max(0, int(walls[at].length_dm) - 12))
    return at, start, start + rng.randint(5, longest_dm)


def _place(rng: Random, number: int) -> Place:
    start = _spot(rng)
    length = rng.randint(40, 60)
    across, down = rng.choice(
        [(length, 0), (-length, 0), (0, length), (0, -length), (length * 3 // 5, length * 4 // 5)]
    )
    return Place(f"place {number}", start, (start[0] + across, start[1] + down), rng.randint(20, 30))


def _area(rng: Random) -> Area:
    kind = rng.choice([AreaKind.PATH, AreaKind.PATH, *AreaKind])
    (left, top), wide, deep = _spot(rng), rng.randint(6, 60), rng.randint(6, 60)
    if kind == AreaKind.FOOTWAY and rng.random() < 0.5:
        return Area(kind, ((0, top), (WIDTH_DM, top), (WIDTH_DM, top + 15), (0, top + 15)))
    if rng.random() < 0.3:
        return Area(kind, ((left, top), (left + wide, top + rng.randint(-9, 9)), (left + wide // 2, top + deep)))
    return Area(kind, ((left, top), (left + wide, top), (left + wide, top + deep), (left, top + deep)))


def _spot(rng: Random) -> Spot:
    return rng.randint(5, WIDTH_DM - 5), rng.randint(5, DEPTH_DM - 5)
