"""The steps of the working of a place for the outlet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from service.advice.domain.siting.answers import Position, Way
from service.advice.domain.siting.assumed import PORT_HEIGHT, SLACK, STEP
from service.advice.domain.siting.drawing import Drawing
from service.advice.domain.siting.search import CarAtHome, Found, limit_m
from service.common.working import Step

OWN_METHOD: Final = "this tool's own method"
WAY_WORDS: Final = {Way.NOSE_IN: "nose in", Way.NOSE_OUT: "nose out"}


def cable_step(drawing: Drawing, car: CarAtHome) -> Step:
    """Return how much of a car's cable is left for the ground."""
    return Step(
        f"Cable left for the ground: {car.label}",
        {
            "cable": f"{car.cable_m:g} m",
            "down from the outlet": f"{drawing.outlet_height_dm / 10:g} m",
            "up to the port": PORT_HEIGHT.words,
            "slack": SLACK.words,
        },
        "cable less what hangs down, what goes up and some slack",
        f"height of the outlet as drawn; port {PORT_HEIGHT.source}; slack {SLACK.source}",
        f"{max(limit_m(drawing, car), 0):.1f} m",
    )


def search_steps(found: Found, figures: Mapping[str, str]) -> list[Step]:
    """Return what was tried and what was assumed."""
    refused = int(found.is_refused.sum())
    tried = Step(
        "Positions tried",
        {"step along a wall": STEP.words, "positions": str(len(found.positions.offsets_m)), "refused": str(refused)},
        "every step of every usable wall, its ends, and the exact points at which a cable begins or ceases to reach;"
        " at each the shortest way round walls, the car's own body and public footways to each port",
        OWN_METHOD,
        f"{len(found.positions.offsets_m) - refused} positions ranked",
    )
    return [
        Step("Figures assumed", figures, "each is this tool's assumption", "as named with each", "see above"),
        tried,
    ]


def reach_steps(drawing: Drawing, best: Position) -> list[Step]:
    """Return the way of the cable to each car where it is reckoned with, both ways round."""
    return [
        Step(
            f"Reach of {each.car_label} in {each.place_label}, {WAY_WORDS[each.way]}",
            {
                "on the ground": "no way" if each.ground_m is None else f"{each.ground_m:.2f} m",
                "bends": str(max(len(each.route) - 2, 0)),
                "with drop, rise and slack": "no way" if each.needed_m is None else f"{each.needed_m:.2f} m",
                "cable": f"{each.cable_m:g} m",
            },
            "shortest way round what is in the way, clear of paths where the cable is long enough for it",
            OWN_METHOD,
            "reached" + (", across a path" if each.is_crossing else "") if each.is_reached else "not reached",
        )
        for each in best.reaches
        if each.is_usual
    ]


def ranking_step(shown: Sequence[Position]) -> Step:
    """Return why the best position comes before the others."""
    names = ["best", *(f"runner-up {number}" for number in range(1, len(shown)))]
    return Step(
        "Ranking",
        {name: each.why for name, each in zip(names, shown, strict=True)},
        "more cars reached, then more ways round, then fewer crossings of a path, then less cable on the ground, then"
        " the shorter fixed cable; each car in a place of its own where there are enough",
        OWN_METHOD,
        shown[0].why,
    )
