"""Each car of a home with the lead and the outlet it charges with: what it draws, what may flow, and the answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.common.working import Step
from service.households.domain.homes import CarInputs, HomeInputs, LeadInputs, OutletInputs
from service.households.domain.vehicle_details import lead_fits
from service.safety.domain.clearance import OutletClearance
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.domain.levels import Clearance, worst_of
from service.safety.domain.pair import PairVerdict, pair_verdict
from service.safety.domain.sign_reports import has_own_cable

NO_LEAD = "no lead is recorded for this car, and this outlet needs one"
WRONG_LEAD = "the lead recorded for this car does not fit this outlet"
OUTLET_STOPS = "the outlet allows no charging now"
LEAD_STOPS = "the lead may not be used now"
WITHIN = "what the car draws is within what may flow here for hours"


@dataclass(frozen=True, slots=True)
class CarPair:
    """One car at one outlet with its lead; ``lead`` is None where the cable is part of the outlet, or none is known.

    ``drawn_a`` is what it would draw as set now, ``allowed_a`` what the outlet allows for hours [A per phase]; None:
    not known, or no charging at all. ``set_to_a`` is the setting that would do.
    """

    car: CarInputs
    outlet: OutletInputs
    lead: LeadInputs | None
    clearance: Clearance
    drawn_a: int | None
    allowed_a: int | None
    set_to_a: int | None
    words: str
    steps: tuple[Step, ...]


def car_pair(
    car: CarInputs, outlet: OutletInputs | None, clearance: OutletClearance | None, lead: LeadClearance | None
) -> PairVerdict | None:
    """Return whether a car draws too much for an outlet, where outlet and lead allow charging; else None."""
    if outlet is None or clearance is None or clearance.limit_a is None:
        return None
    if has_own_cable(outlet):
        return pair_verdict(outlet, None, car.onboard_limit_a, clearance.limit_a)
    joining = lead_at(car, outlet)
    if joining is None or (lead is not None and not lead.clearance.allows_charging):
        return None
    # Below what it is set to only a safety officer's decision holds it.
    decided_a = lead.limit_a if lead and lead.limit_a and lead.limit_a < min(joining.rated_a, joining.set_a) else None
    return pair_verdict(outlet, joining, car.onboard_limit_a, clearance.limit_a, lead_limit_a=decided_a)


def lead_at(car: CarInputs, outlet: OutletInputs) -> LeadInputs | None:
    """Return the lead that joins a car to an outlet; None where the cable is part of it, or none that fits is known."""
    fits = car.lead is not None and not has_own_cable(outlet) and lead_fits(outlet.kind, car.lead.kind)
    return car.lead if fits else None


def home_pairs(
    home: HomeInputs, outlets: Sequence[OutletClearance], leads: Sequence[LeadClearance]
) -> tuple[CarPair, ...]:
    """Return each car with each outlet that may feed it, by the cars' order, the usual outlet first."""
    of_outlets = {clearance.outlet_id: clearance for clearance in outlets}
    of_leads = {clearance.lead_id: clearance for clearance in leads}
    return tuple(
        _pair(car, outlet, of_outlets[outlet.id], of_leads)
        for car in sorted(home.cars, key=lambda car: car.ordinal)
        for outlet in _outlets_of(car, home)
        if outlet.id in of_outlets
    )


def _outlets_of(car: CarInputs, home: HomeInputs) -> Iterator[OutletInputs]:
    by_id = {outlet.id: outlet for outlet in home.outlets}
    yield from (by_id[each] for each in dict.fromkeys((car.outlet_id, *car.other_outlet_ids)) if each in by_id)


def _pair(
    car: CarInputs, outlet: OutletInputs, clearance: OutletClearance, leads: Mapping[str, LeadClearance]
) -> CarPair:
    lead = lead_at(car, outlet)
    allowed = clearance.limit_a
    if lead is None and not has_own_cable(outlet):
        words = WRONG_LEAD if car.lead else NO_LEAD
        return CarPair(car, outlet, None, Clearance.NOT_KNOWN, None, allowed, None, words, ())
    of_lead = None if lead is None else leads.get(lead.id)
    standings = [each.clearance for each in (clearance, of_lead) if each is not None]
    verdict = car_pair(car, outlet, clearance, of_lead)
    if verdict is None:
        answer, words = worst_of(standings), LEAD_STOPS if clearance.clearance.allows_charging else OUTLET_STOPS
        verdict = pair_verdict(outlet, lead, car.onboard_limit_a, None)
    elif not verdict.allows_charging:
        answer, words = Clearance.DO_NOT_USE, verdict.words
    else:
        answer = Clearance.USE_WITH_LIMITS if verdict.words else clearance.clearance
        words = verdict.words or WITHIN
    return CarPair(
        car, outlet, lead, answer, verdict.drawn_a, allowed, verdict.set_to_a, words, verdict.working.steps
    )
