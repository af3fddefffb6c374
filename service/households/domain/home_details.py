"""What people say of a home and its supply, checked as it is put together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.common.calendar import Nation
from service.common.errors import Fault, Rejected
from service.common.slots import checked_zone
from service.households.domain.equipment import Earthing, LargeLoadKind, Tenure, YesNo
from service.households.domain.ranges import build_each, in_range, known_word, of_phases, refuse, text_within

TERM_LENGTH_MAX = 40
"""Longest name of a distribution region or payment method; own choice."""
LOAD_MAX_W = 100_000
"""Own bound on one load of a home [W]; a three-phase supply of 100 A gives less."""
LOADS_MAX = 40
"""Own bound on the loads of one home."""


@dataclass(frozen=True)
class HomeDetails:
    """Where a home is and on which terms it buys; ``region`` and ``payment`` choose the rate sheet.

    ``occupied_since_on`` is the day from which the same people live there, one to come included.

    Raises ``Rejected`` for a blank or overlong text, an unknown nation, or a zone that half-hours do not fit.
    """

    reference: str
    member_name: str
    address: str
    postcode: str
    zone: str
    nation: str
    region: str | None = None
    payment: str | None = None
    tenure: str = Tenure.NOT_KNOWN
    occupied_since_on: date | None = None

    def __post_init__(self) -> None:
        refuse(
            text_within("reference", self.reference, 40, is_required=True),
            text_within("member_name", self.member_name, 120, is_required=True),
            text_within("address", self.address, 300),
            text_within("postcode", self.postcode, 12),
            _zone_faults(self.zone),
            known_word("nation", self.nation, Nation),
            _term_faults("region", self.region),
            _term_faults("payment", self.payment),
            known_word("tenure", self.tenure, Tenure),
        )


@dataclass(frozen=True)
class LargeLoad:
    """A large load, or a whole lighting or socket circuit; a power [W] of None is not known, of 0: there is none."""

    kind: str
    power_w: int | None = None

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, LargeLoadKind),
            in_range("power_w", self.power_w, 0, LOAD_MAX_W, "W") if self.power_w is not None else (),
        )


@dataclass(frozen=True)
class SupplyDetails:
    """The service cut-out; a fuse rating [A] of None is not known, and so is each kind of load that is not listed.

    ``loads`` may be given as mappings, as they are stored.
    """

    fuse_a: int | None = None
    phases: int = 1
    earthing: str = Earthing.NOT_KNOWN
    looped: str = YesNo.NOT_KNOWN
    other_loads: str = ""
    loads: tuple[LargeLoad, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "loads", large_loads(self.loads))
        refuse(
            # own bounds: the cut-outs of homes are of 60 to 100 A, older ones smaller
            in_range("fuse_a", self.fuse_a, 5, 200, "A") if self.fuse_a is not None else (),
            of_phases("phases", self.phases),
            known_word("earthing", self.earthing, Earthing),
            known_word("looped", self.looped, YesNo),
            text_within("other_loads", self.other_loads, 300),
            [] if len(self.loads) <= LOADS_MAX else [Fault("loads", len(self.loads), f"must be at most {LOADS_MAX}")],
        )


def large_loads(given: Iterable[LargeLoad | Mapping[str, Any]]) -> tuple[LargeLoad, ...]:
    """Return loads as checked values; raises ``Rejected`` naming ``loads.<position>``."""
    return build_each("loads", (vars(load) if isinstance(load, LargeLoad) else load for load in given), LargeLoad)


def _zone_faults(zone: str) -> Iterator[Fault]:
    try:
        checked_zone(zone)
    except Rejected as error:
        yield from error.faults


def _term_faults(field: str, text: str | None) -> Iterator[Fault]:
    """A term may be missing, but not blank: blank text would match no rate sheet."""
    if text is not None:
        yield from text_within(field, text, TERM_LENGTH_MAX, is_required=True)
