"""What an electrician sends in one go through a link: a result for each outlet of the visit.

A first submission may hold the certificate alone; the readings come later by the same link and supersede it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.common.errors import Fault, Rejected
from service.households.domain.ranges import refuse, text_within
from service.safety.domain.inspection_details import InspectionDetails

NAME_MAX = 120


@dataclass(frozen=True)
class Submission:
    """A visit's results, one an outlet; name and registration stand as stated and are not verified."""

    outlets: tuple[InspectionDetails, ...]
    electrician_name: str
    registration: str = ""
    is_partial: bool = False

    def __post_init__(self) -> None:
        refuse(
            text_within("electrician_name", self.electrician_name, NAME_MAX, is_required=True),
            text_within("registration", self.registration, 200),
            self._outlet_faults(),
        )

    def _outlet_faults(self) -> Iterator[Fault]:
        if not self.outlets:
            yield Fault("outlets", 0, "must name at least one outlet")
        named = [each.outlet_id for each in self.outlets]
        for position, outlet_id in enumerate(named):
            if outlet_id in named[:position]:
                yield Fault(f"outlets.{position}.outlet_id", outlet_id, "is named already")

    def check_outlets(self, of_visit: Collection[str]) -> None:
        """Refuse an outlet that the visit does not name; a whole submission leaves none of them out."""
        named = {each.outlet_id for each in self.outlets}
        faults = [
            Fault(f"outlets.{position}.outlet_id", each.outlet_id, "is not an outlet of this visit")
            for position, each in enumerate(self.outlets)
            if each.outlet_id not in of_visit
        ]
        left_out = [outlet_id for outlet_id in of_visit if outlet_id not in named]
        if left_out and not self.is_partial and not faults:
            rule = "must name each outlet of the visit; of one that was not tested, say so, with the limitation"
            faults.append(Fault("outlets", ", ".join(left_out), rule))
        refuse(faults)


def build_submission(values: Mapping[str, Any]) -> Submission:
    """Return the submission of a body as sent; faults are named by their place in it. Raises ``Rejected``."""
    own = {"electrician_name": values["electrician_name"], "registration": values.get("registration", "")}
    is_partial = bool(values.get("is_partial", False))
    common = {"electrician": own["electrician_name"], "registration": own["registration"], "is_partial": is_partial}
    results, faults = _build_outlets(values["outlets"], common)
    try:
        submission = Submission(results, is_partial=is_partial, **own)
    except Rejected as error:
        # An empty list of results is no fault of its own where each of them was refused.
        faults += [fault for fault in error.faults if not (faults and fault.field == "outlets")]
    refuse(faults)
    return submission


def _build_outlets(
    values: Sequence[Mapping[str, Any]], common: Mapping[str, Any]
) -> tuple[tuple[InspectionDetails, ...], list[Fault]]:
    found: list[InspectionDetails] = []
    faults: list[Fault] = []
    for position, value in enumerate(values):
        try:
            found.append(InspectionDetails.from_form({**value, **common}))
        except Rejected as error:
            # Name and registration are fields of the whole, and are named there.
            faults.extend(
                fault.under(f"outlets.{position}")
                for fault in error.faults
                if fault.field not in ("electrician", "registration")
            )
    return tuple(found), faults
