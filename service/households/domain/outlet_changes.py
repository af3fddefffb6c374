"""What an inspection of an outlet rests on, and which edits of the record change it.

An inspection speaks of one outlet, its circuit and the earthing as they were.  Where the record of them becomes
another, the inspection no longer speaks of what is there.  Filling in what nobody knew changes nothing, and neither
does what only makes the answer stricter: less current, a smaller device, a thinner or longer cable, worse surroundings.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from service.households.domain.equipment_details import CircuitDetails, OutletDetails, RunDetails
from service.households.domain.home_details import SupplyDetails

_UNKNOWN: Final = (None, "", "not_known")
_OF_OUTLET: Final = {
    "kind": "kind", "maker_model": "maker or model", "serial_or_batch": "serial or batch", "circuit_id": "circuit",
    "is_tethered": "whether it has its own cable", "place": "place",
}  # fmt: skip
_RAISED: Final = {"limit_a": "current raised", "phases": "more phases"}
_OF_SUPPLY: Final = {"earthing": "earthing of the home", "looped": "whether the supply is looped"}
_OF_RUN: Final = {
    "device": "device", "cable": "cable", "method": "method", "length_m": "length", "device_kind": "kind of device",
    "device_a": "rating of the device", "rcd_type": "type of RCD", "rcd_ma": "residual current of the RCD",
    "cable_kind": "kind of cable", "cable_mm2": "cable size", "installed": "how it is installed",
    "ambient_c": "warmth around it", "grouped_circuits": "circuits beside it", "insulation_mm": "insulation around it",
}  # fmt: skip
_STRICTER_UP: Final = frozenset({"length_m", "ambient_c", "grouped_circuits", "insulation_mm"})
_STRICTER_DOWN: Final = frozenset({"cable_mm2", "device_a"})


@dataclass(frozen=True, slots=True)
class OutletChanged:
    """That the record became another: what, when (aware), and the day of it in the home's zone."""

    changed_at: datetime
    changed_on: date
    what: str


def outlet_changed(was: OutletDetails, now: OutletDetails) -> tuple[str, ...]:
    """Return in words what of an outlet is another now; empty where an inspection of it still speaks of it."""
    return tuple(_outlet_words(was, now))


def circuit_changed(was: CircuitDetails, now: CircuitDetails) -> tuple[str, ...]:
    """Return in words what of a circuit's runs is another now; its label is not."""
    if [str(run.kind) for run in was.runs] != [str(run.kind) for run in now.runs]:
        return ("circuit: its runs",)
    found = [f"circuit: {words}" for pair in zip(was.runs, now.runs, strict=True) for words in _run_words(*pair)]
    return tuple(dict.fromkeys(found))


def supply_changed(was: SupplyDetails | None, now: SupplyDetails) -> tuple[str, ...]:
    """Return in words what of the supply's earthing is another now."""
    return () if was is None else tuple(words for name, words in _OF_SUPPLY.items() if _is_other(was, now, name))


def _outlet_words(was: OutletDetails, now: OutletDetails) -> Iterator[str]:
    yield from (words for name, words in _OF_OUTLET.items() if _is_other(was, now, name))
    # A later day, too: an inspection from before it does not count, and everybody has to hear of it.
    if was.since_on is not None and now.since_on != was.since_on:
        yield "since when it is there"
    yield from (words for name, words in _RAISED.items() if getattr(now, name) > getattr(was, name))


def _run_words(was: RunDetails, now: RunDetails) -> Iterator[str]:
    for name, words in _OF_RUN.items():
        if _is_other(was, now, name) and not _is_stricter(name, getattr(was, name), getattr(now, name)):
            yield words


def _is_other(was: object, now: object, name: str) -> bool:
    """Tell whether something that was known is not so any more; to know it no longer is another answer too."""
    before, after = _plain(getattr(was, name)), _plain(getattr(now, name))
    return before not in _UNKNOWN and before != after


def _is_stricter(name: str, was: Any, now: Any) -> bool:
    if now is None:
        return False
    return (name in _STRICTER_UP and now > was) or (name in _STRICTER_DOWN and now < was)


def _plain(value: Any) -> Any:
    """Return a value as it is compared: words by their words, texts whatever their spaces and capitals."""
    return " ".join(str(value).split()).casefold() if isinstance(value, str) else value
