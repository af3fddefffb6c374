"""What people say of a home and its supply, checked as it is put together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.common.calendar import Nation
from service.common.errors import Fault, Rejected
from service.common.slots import checked_zone
from service.households.domain.equipment import Earthing, YesNo
from service.households.domain.ranges import in_range, known_word, of_phases, refuse, text_within

TERM_LENGTH_MAX = 40
"""Longest name of a distribution region or payment method; own choice."""


@dataclass(frozen=True)
class HomeDetails:
    """Where a home is and on which terms it buys; ``region`` and ``payment`` choose the rate sheet.

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
        )


@dataclass(frozen=True)
class SupplyDetails:
    """The service cut-out; a fuse rating [A] of None is not known."""

    fuse_a: int | None = None
    phases: int = 1
    earthing: str = Earthing.NOT_KNOWN
    looped: str = YesNo.NOT_KNOWN
    other_loads: str = ""

    def __post_init__(self) -> None:
        refuse(
            # own bounds: the cut-outs of homes are of 60 to 100 A, older ones smaller
            in_range("fuse_a", self.fuse_a, 5, 200, "A") if self.fuse_a is not None else (),
            of_phases("phases", self.phases),
            known_word("earthing", self.earthing, Earthing),
            known_word("looped", self.looped, YesNo),
            text_within("other_loads", self.other_loads, 300),
        )


def _zone_faults(zone: str) -> Iterator[Fault]:
    try:
        checked_zone(zone)
    except Rejected as error:
        yield from error.faults


def _term_faults(field: str, text: str | None) -> Iterator[Fault]:
    """A term may be missing, but not blank: blank text would match no rate sheet."""
    if text is not None:
        yield from text_within(field, text, TERM_LENGTH_MAX, is_required=True)
