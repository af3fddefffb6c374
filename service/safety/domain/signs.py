"""The table of bad signs and incidents: what each acts on, what it does, what lifts it, and why.

Data, not code: every rule about a sign stands in its row, and whoever reviews the rules reads this file
alone. A row that has been stored may be tightened but never taken out: reports name it for good.

Where the published checklist is milder, the stricter stands: any heat beyond just noticeable, looseness,
a trip or a fault light stops use until the item's own evidence lifts it. A trip and a tingle also stop the
lead in use, because either may come from it. Events that only ask for a look before the next use (a long
pause, a heatwave, a socket in the sun) have no row yet: what lifts them is a clear check, which lifts no
sign so far.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from service.safety.domain.arithmetic.editions import Mark
from service.safety.domain.levels import Clearance

TABLE_EDITION: Final = "2026-11-25"
"""Raised with every change of a row; it stands in the working of each answer."""

REVIEW: Final = "drafted from the published checklist; a competent person has still to read and confirm it"


class Reach(StrEnum):
    """Which outlets a sign at one outlet acts on."""

    NONE = "none"
    OUTLET = "outlet"  # that outlet
    CIRCUIT = "circuit"  # every outlet that is, or may be, on its circuit
    HOME = "home"  # every outlet of the home


class SignGroup(StrEnum):
    """How a sign comes in."""

    CHECK = "check"  # asked about in the member's check, or reported at any time
    INCIDENT = "incident"  # something that happened
    RECORD = "record"  # follows from a record; nobody reports it


class OutletLift(StrEnum):
    """What lifts a sign from an outlet."""

    INSPECTION = "inspection"


class LeadLift(StrEnum):
    """What lifts a sign from a lead."""

    TEST_OR_REPLACEMENT = "test_or_replacement"
    REPLACEMENT = "replacement"


class FirstSteps(StrEnum):
    """Which of the lists of what to do now goes with a sign; ``first_steps`` has the lines."""

    TOUCH_NOTHING = "touch_nothing"
    STOP_CHARGING = "stop_charging"
    LEAVE_OFF = "leave_off"


LIFT_WORDS: Final[dict[OutletLift | LeadLift, str]] = {
    OutletLift.INSPECTION: "an electrician's inspection of this outlet on a later day than the report, accepted, "
    "in which nothing fails and no C1, C2 or FI is left open",
    LeadLift.TEST_OR_REPLACEMENT: "a test that this lead passed, or its replacement, after the report and recorded "
    "by the scheme",
    LeadLift.REPLACEMENT: "the replacement of this lead after the report, recorded by the scheme",
}


@dataclass(frozen=True, slots=True)
class Sign:
    """One row. ``outlet_lift`` and ``lead_lift`` are None exactly where the sign does not act on that item."""

    name: str
    group: SignGroup
    words: str
    outlets: Reach
    effect: Clearance
    outlet_lift: OutletLift | None
    lead_lift: LeadLift | None
    first_steps: FirstSteps
    source: str
    mark: Mark

    @property
    def acts_on_lead(self) -> bool:
        """Tell whether the lead in use is stopped too."""
        return self.lead_lift is not None


LEAD_FAILED_TEST: Final = "lead_failed_test"

_SEEN: Final = (
    'sign: Buckinghamshire Fire & Rescue "Electrical Safety", Warwickshire County Council news on electrical fire '
    "signs, a contractor's page; what it stops: common practice"
)
_EVENT: Final = "common practice, no source"
_STRICTER: Final = f"{_SEEN}, the stricter of the checklist and this table"
_CHECK, _INCIDENT, _RECORD = SignGroup.CHECK, SignGroup.INCIDENT, SignGroup.RECORD
_NO, _UNKNOWN = Clearance.DO_NOT_USE, Clearance.NOT_KNOWN
_INSPECTION, _TEST, _NEW = OutletLift.INSPECTION, LeadLift.TEST_OR_REPLACEMENT, LeadLift.REPLACEMENT
_TOUCH_NOTHING, _STOP, _LEAVE = FirstSteps.TOUCH_NOTHING, FirstSteps.STOP_CHARGING, FirstSteps.LEAVE_OFF
_CP, _P = Mark.COMMON_PRACTICE, Mark.PUBLISHED

# name, group, words a member reads, outlets it acts on, effect, lifts outlet, lifts lead, what to do first, source
_ROWS: Final = (
    Sign("tingle", _CHECK, "A tingle or a shock from the car, the plug or the lead",
         Reach.HOME, _NO, _INSPECTION, _TEST, _TOUCH_NOTHING, _SEEN, _CP),
    Sign("scorch", _CHECK, "Scorched, browned or melted: plug, socket or lead",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _SEEN, _CP),
    Sign("burning_smell", _CHECK, "A burning, fishy or hot-plastic smell, or smoke",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _SEEN, _CP),
    Sign("buzzing", _CHECK, "Buzzing, crackling or sparks",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _SEEN, _CP),
    Sign("water_inside", _CHECK, "Water inside the socket, the lead's box or a connector",
         Reach.CIRCUIT, _NO, _INSPECTION, _TEST, _STOP, _STRICTER, _CP),
    Sign("cracked", _CHECK, "A cracked socket, plug or box, a cut cable, or bare metal showing",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _SEEN, _CP),
    Sign("earth_fault_light", _CHECK, "The lead's or charging point's light for an earth fault is on",
         Reach.HOME, _NO, _INSPECTION, _TEST, _STOP, _STRICTER, _CP),
    Sign("fault_light", _CHECK, "The lead or charging point shows a fault light of another kind",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _STRICTER, _CP),
    Sign("tripped", _CHECK, "A breaker, RCD or fuse went off while charging",
         Reach.CIRCUIT, _NO, _INSPECTION, _TEST, _STOP, _STRICTER, _CP),
    Sign("too_hot", _CHECK, "Plug or socket too hot to hold",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _SEEN, _CP),
    Sign("warm", _CHECK, "Plug or socket warmer than just noticeable",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _STRICTER, _CP),
    Sign("loose", _CHECK, "The plug sits loose, or the socket has lost its grip",
         Reach.OUTLET, _NO, _INSPECTION, _TEST, _STOP, _STRICTER, _CP),
    Sign("charge_drops_out", _CHECK, "Charging stops by itself, or the lead cuts the current back",
         Reach.OUTLET, _UNKNOWN, _INSPECTION, _TEST, _LEAVE, _SEEN, _CP),
    Sign("lights_flicker", _CHECK, "Lights flicker when the charge starts",
         Reach.HOME, _UNKNOWN, _INSPECTION, None, _LEAVE, _SEEN, _CP),
    Sign("lead_knocked", _INCIDENT, "The lead was dropped hard or run over, its box cracked or its pins bent",
         Reach.NONE, _NO, None, _TEST, _STOP, _EVENT, _CP),
    Sign("wet_or_flooded", _INCIDENT, "Plug, box, connector or socket stood in water, or the place was flooded",
         Reach.CIRCUIT, _NO, _INSPECTION, _TEST, _STOP, _EVENT, _CP),
    Sign("lead_recalled", _INCIDENT, "The lead's maker or a safety body has recalled it or warned of it",
         Reach.NONE, _NO, None, _NEW, _LEAVE, _EVENT, _CP),
    Sign("outlet_recalled", _INCIDENT, "The socket's or charging point's maker has recalled it or warned of it",
         Reach.OUTLET, _NO, _INSPECTION, None, _LEAVE, _EVENT, _CP),
    Sign("report_unsatisfactory", _INCIDENT, "A report on the home's wiring came back unsatisfactory",
         Reach.HOME, _NO, _INSPECTION, None, _LEAVE, _EVENT, _CP),
    Sign("outlet_replaced", _INCIDENT, "The socket or charging point was replaced",
         Reach.OUTLET, _UNKNOWN, _INSPECTION, None, _LEAVE, _EVENT, _CP),
    Sign("circuit_changed", _INCIDENT, "Something was added to the circuit, or insulation was laid over its cable",
         Reach.CIRCUIT, _UNKNOWN, _INSPECTION, None, _LEAVE, _EVENT, _CP),
    Sign("current_raised", _INCIDENT, "The car or lead now draws more current than before",
         Reach.CIRCUIT, _UNKNOWN, _INSPECTION, None, _LEAVE, _EVENT, _CP),
    Sign("load_added", _INCIDENT, "A heat pump, shower, hob, battery or solar panels were added",
         Reach.HOME, _UNKNOWN, _INSPECTION, None, _LEAVE, _EVENT, _CP),
    Sign("supply_changed", _INCIDENT, "The fuse board, the earthing or the supply to the home was changed",
         Reach.HOME, _UNKNOWN, _INSPECTION, None, _LEAVE, _EVENT, _CP),
    Sign("house_moved", _INCIDENT, "The household moved, or other people live here now",
         Reach.HOME, _UNKNOWN, _INSPECTION, None, _LEAVE,
         "change of occupancy calls for a new report: SELECT CABLEtalk, May 2010", _P),
    Sign(LEAD_FAILED_TEST, _RECORD, "The lead failed a test",
         Reach.NONE, _NO, None, _TEST, _LEAVE, _EVENT, _CP),
)  # fmt: skip

SIGNS: Final[dict[str, Sign]] = {sign.name: sign for sign in _ROWS}
REPORTABLE: Final = tuple(sign.name for sign in _ROWS if sign.group is not SignGroup.RECORD)
"""What a person may report, in the table's order."""


def lift_words(sign: Sign) -> tuple[tuple[str, str], ...]:
    """Return (item, what lifts the sign from it) for each kind of item the sign acts on."""
    lifts = (("outlet", sign.outlet_lift), ("lead", sign.lead_lift))
    return tuple((item, LIFT_WORDS[lift]) for item, lift in lifts if lift is not None)
