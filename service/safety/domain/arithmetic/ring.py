"""A load on a ring final circuit: how it splits between the two legs, and whether a leg carries too much.

The ring's device is larger than its cable carries, which is allowed only while no part carries more than Iz
for long periods. A car close to one end is such a load.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from service.common.working import Working
from service.safety.domain.arithmetic.answers import Answer, answer_of, worst_answer
from service.safety.domain.arithmetic.cable import CableRun, Device, cable_capacity
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, LENGTH_MAX_M, Number, checked, plain, positive
from service.safety.domain.arithmetic.rules import RING, RING_SPLIT

RING_DEVICES_A: Final = (Decimal(30), Decimal(32))  # BS 7671 433.1.204
RING_SIZE_MM2: Final = Decimal("2.5")  # BS 7671 433.1.204
RING_CAPACITY_A: Final = Decimal(20)  # BS 7671 433.1.204


@dataclass(frozen=True, slots=True)
class RingSplit:
    """The current in the leg measured along and in the other leg [A]."""

    leg_a: Decimal
    other_leg_a: Decimal
    working: Working

    @property
    def greater_a(self) -> Decimal:
        """Return the current in the leg that carries more [A]."""
        return max(self.leg_a, self.other_leg_a)


@dataclass(frozen=True, slots=True)
class RingPlace:
    """Where a load sits on a ring: along one leg, of the ring's whole length [m]."""

    ring_m: Decimal
    along_m: Decimal


@dataclass(frozen=True, slots=True)
class RingVerdict:
    """Whether a ring may carry a load for hours; ``failed`` names what does not hold."""

    answer: Answer
    failed: tuple[str, ...]
    leg_a: Decimal
    working: Working


def ring_split(load_a: Number, place: RingPlace) -> RingSplit:
    """Return how a load splits: I (1 - d/L) along the leg of length d, I d/L in the other.

    Raises ``Rejected`` unless 0 < L <= 1000 m and 0 <= d <= L.
    """
    load = checked("load_a", load_a, 0, CURRENT_MAX_A, "A")
    ring = positive("ring_m", place.ring_m, LENGTH_MAX_M, "m")
    along = checked("along_m", place.along_m, 0, ring, "m")
    other = load * along / ring
    step = RING_SPLIT.step(
        "Split of a load on a ring",
        {"load": f"{plain(load)} A", "ring": f"{plain(ring)} m", "along one leg": f"{plain(along)} m"},
        "I (1 - d/L) along the leg, I d/L in the other",
        f"{plain(load - other)} and {plain(other)} A",
    )
    return RingSplit(load - other, other, Working((step,)))


def ring_verdict(
    load_a: Number, other_load_a: Number | None, cable: CableRun, device: Device | None, place: RingPlace | None
) -> RingVerdict:
    """Return whether a ring may carry a load for hours beside its other lasting load.

    Parameters
    ----------
    load_a : Decimal or int
        The car's current [A].
    other_load_a : Decimal, int or None
        What else the ring carries for long periods [A], taken to flow in the same leg; None is not known.
    cable : CableRun
        The ring's cable, as it runs at its worst place.
    device : Device or None
        Its overload device; None is not known.
    place : RingPlace or None
        Where the load sits; None reckons with the whole load in one leg, the worst place.
    """
    capacity = cable_capacity(cable)
    split = None if place is None else ring_split(load_a, place)
    leg = checked("load_a", load_a, 0, CURRENT_MAX_A, "A") if split is None else split.greater_a
    leg += checked("other_load_a", other_load_a or 0, 0, CURRENT_MAX_A, "A")
    conditions = {
        "cable of at least 2.5 mm2": answer_of(cable.size_mm2 >= RING_SIZE_MM2),
        "Iz of at least 20 A": answer_of(capacity.capacity_a >= RING_CAPACITY_A),
        "device of 30 or 32 A": Answer.NOT_KNOWN if device is None else answer_of(device.rating_a in RING_DEVICES_A),
        "no leg above Iz": _leg_answer(leg, capacity.capacity_a, is_whole=other_load_a is not None),
    }
    failed = tuple(name for name, answer in conditions.items() if answer is Answer.FAILS)
    answer = worst_answer(conditions.values())
    step = RING.step(
        f"Ring: {cable.label}",
        {
            "in the greater leg": f"{plain(leg)} A",
            "Iz": f"{plain(capacity.capacity_a)} A",
            "device": "not known" if device is None else f"{plain(device.rating_a)} A",
            "other lasting load": "not known" if other_load_a is None else f"{plain(other_load_a)} A",
        },
        "a 30 or 32 A device, cable of at least 2.5 mm2 and 20 A, and no part above Iz for long periods",
        f"fails: {', '.join(failed)}" if failed else answer.value.replace("_", " "),
    )
    before = () if split is None else split.working.steps
    return RingVerdict(answer, failed, leg, Working((*capacity.working.steps, *before, step)))


def _leg_answer(leg_a: Decimal, capacity_a: Decimal, *, is_whole: bool) -> Answer:
    if leg_a > capacity_a:
        return Answer.FAILS
    return Answer.PASSES if is_whole else Answer.NOT_KNOWN


def ring_equivalent_m(place: RingPlace) -> Decimal:
    """Return the length of single cable that drops as much as the ring up to a load [m]: d (1 - d/L).

    Raises ``Rejected`` unless 0 < L <= 1000 m and 0 <= d <= L.
    """
    ring = positive("ring_m", place.ring_m, LENGTH_MAX_M, "m")
    along = checked("along_m", place.along_m, 0, ring, "m")
    return along * (1 - along / ring)
