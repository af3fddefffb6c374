"""The table of signs: what each stops, written out here a second time, by hand."""

import pytest

from service.safety.domain.cold_check import QUESTIONS
from service.safety.domain.levels import Clearance
from service.safety.domain.signs import REPORTABLE, SIGNS, LeadLift, Reach, SignGroup, lift_words

STOP, UNKNOWN = "do_not_use", "not_known"
# sign: (outlets it acts on, whether on the lead, effect), from the rules and the failing-socket checklist
STOPS = {
    "tingle": ("home", True, STOP),
    "scorch": ("outlet", True, STOP),
    "burning_smell": ("outlet", True, STOP),
    "buzzing": ("outlet", True, STOP),
    "water_inside": ("circuit", True, STOP),
    "cracked": ("outlet", True, STOP),
    "earth_fault_light": ("home", True, STOP),
    "fault_light": ("outlet", True, STOP),
    "tripped": ("circuit", True, STOP),
    "too_hot": ("outlet", True, STOP),
    "warm": ("outlet", True, STOP),
    "loose": ("outlet", True, STOP),
    "charge_drops_out": ("outlet", True, UNKNOWN),
    "lights_flicker": ("home", False, UNKNOWN),
    "lead_knocked": ("none", True, STOP),
    "wet_or_flooded": ("circuit", True, STOP),
    "lead_recalled": ("none", True, STOP),
    "outlet_recalled": ("outlet", False, STOP),
    "report_unsatisfactory": ("home", False, STOP),
    "outlet_replaced": ("outlet", False, UNKNOWN),
    "circuit_changed": ("circuit", False, UNKNOWN),
    "current_raised": ("circuit", False, UNKNOWN),
    "load_added": ("home", False, UNKNOWN),
    "supply_changed": ("home", False, UNKNOWN),
    "house_moved": ("home", False, UNKNOWN),
    "lead_failed_test": ("none", True, STOP),
}
HEAT_SCORCH_LOOSENESS = ("scorch", "burning_smell", "too_hot", "warm", "loose")
CHECKLIST = "failing-socket checklist: fire-service and council pages for the signs; the stricter of it and the table"


def test_each_sign_stops_what_stands_here() -> None:
    found = {name: (sign.outlets.value, sign.acts_on_lead, sign.effect.value) for name, sign in SIGNS.items()}
    assert found == STOPS


@pytest.mark.parametrize("name", HEAT_SCORCH_LOOSENESS)
@pytest.mark.reference
def test_heat_scorch_and_looseness_stop_outlet_and_lead(name: str, reference) -> None:  # type: ignore[no-untyped-def]
    sign = SIGNS[name]
    got = (sign.outlets.value, sign.acts_on_lead, sign.effect.value)
    reference(source=CHECKLIST, expected=("outlet", True, "do_not_use"), got=got)


def test_a_row_lifts_from_exactly_what_it_acts_on() -> None:
    for sign in SIGNS.values():
        assert (sign.outlet_lift is not None) == (sign.outlets is not Reach.NONE), sign.name
        assert (sign.lead_lift is not None) == sign.acts_on_lead, sign.name
        assert lift_words(sign), f"{sign.name} acts on nothing"


def test_no_sign_leaves_charging_allowed_and_each_names_its_source() -> None:
    assert not [sign.name for sign in SIGNS.values() if sign.effect.allows_charging]
    assert all(sign.source and sign.words for sign in SIGNS.values())
    assert {sign.effect for sign in SIGNS.values()} == {Clearance.DO_NOT_USE, Clearance.NOT_KNOWN}


def test_only_a_replacement_ends_a_recall() -> None:
    needs_new = [name for name, sign in SIGNS.items() if sign.lead_lift is LeadLift.REPLACEMENT]
    assert needs_new == ["lead_recalled"]


def test_what_follows_from_a_record_cannot_be_reported_by_a_person() -> None:
    records = {name for name, sign in SIGNS.items() if sign.group is SignGroup.RECORD}
    assert records == {"lead_failed_test"} == set(SIGNS) - set(REPORTABLE)


def test_the_check_asks_after_every_sign_of_its_group_once() -> None:
    asked = [answer.sign for question in QUESTIONS for answer in question.answers if answer.sign]
    assert sorted(asked) == sorted(name for name, sign in SIGNS.items() if sign.group is SignGroup.CHECK)
