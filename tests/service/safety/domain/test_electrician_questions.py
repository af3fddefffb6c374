"""What is left open is asked of the electrician, once, with the answer it would fill."""

from dataclasses import replace
from decimal import Decimal

import pytest

from service.households.domain.equipment import LargeLoadKind
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.domain.home_details import LargeLoad, SupplyDetails
from service.safety.domain.electrician_questions import (
    circuit_questions,
    extension_question,
    lead_questions,
    outlet_questions,
    supply_questions,
    unknown_lead_questions,
    unknown_outlet_questions,
)
from service.safety.domain.survey_answers import LeadAnswers, OutletAnswers, SupplyAnswers
from tests.factories.households import lead_details, outlet_details

KNOWN_SUPPLY = SupplyDetails(80, 1, "tt", "no", loads=tuple(LargeLoad(kind, 0) for kind in LargeLoadKind))
KNOWN_RUN = RunDetails(
    "radial", device_kind="mcb_b", device_a=20, cable_kind="flat_twin_and_earth", cable_mm2=Decimal("2.5"),
    installed="C", length_m=Decimal(10), ambient_c=30, grouped_circuits=1, insulation_mm=0,
)  # fmt: skip


def fills(questions) -> list[str]:
    return [question.fills for question in questions]


def test_a_supply_that_is_known_leaves_nothing_to_ask() -> None:
    assert fills(supply_questions(KNOWN_SUPPLY, SupplyAnswers(phases=1))) == []


@pytest.mark.parametrize(
    ("changes", "filled"),
    [
        ({"fuse_a": None}, "service fuse of the supply"),
        ({"earthing": "not_known"}, "earthing of the supply"),
        ({"looped": "not_known"}, "looped supply"),
        ({"loads": ()}, "large loads of the supply"),
    ],
)
def test_each_gap_of_the_supply_is_one_question(changes: dict, filled: str) -> None:
    assert fills(supply_questions(replace(KNOWN_SUPPLY, **changes), SupplyAnswers(phases=1))) == [filled]


def test_phases_that_the_member_does_not_know_are_asked_for() -> None:
    assert fills(supply_questions(KNOWN_SUPPLY, SupplyAnswers())) == ["phases of the supply"]


def test_a_socket_is_asked_for_its_ev_mark_and_a_charging_point_for_its_rating() -> None:
    known = {"place": "indoors", "car_place": "indoors", "in_sun": "no", "maker_model": "M 1"}
    assert fills(outlet_questions(outlet_details(**known))) == ["EV mark of the outlet"]
    assert fills(outlet_questions(outlet_details(**known, ev_mark="no"))) == []
    point = outlet_details(**known, kind="charging_point", limit_a=6)
    assert fills(outlet_questions(point)) == ["limit of the outlet", "own cable of the outlet"]
    outdoors = outlet_details(**{**known, "place": "outdoors"}, ev_mark="yes")
    assert fills(outlet_questions(outdoors)) == ["IP code of the outlet"]


def test_a_circuit_nobody_recorded_is_asked_for_as_a_whole() -> None:
    (question,) = circuit_questions(None, "garage socket")
    assert question.text.startswith("garage socket: how does its circuit run") and question.text.endswith(
        "Fills: runs of the circuit."
    )


def test_a_run_is_asked_for_what_it_lacks_and_a_known_one_for_nothing() -> None:
    assert fills(circuit_questions(CircuitDetails("c", (KNOWN_RUN,)), "s")) == []
    runs = (RunDetails("board"), replace(KNOWN_RUN, length_m=None))
    board, radial = circuit_questions(CircuitDetails("c", runs), "s")
    assert board.question == "c, run 1 (board): which device protects it, which type of RCD?"
    assert radial.question == "c, run 2 (radial): how long is it?"


def test_a_lead_that_could_not_be_recorded_is_asked_for() -> None:
    assert fills(unknown_lead_questions(LeadAnswers())) == ["the lead"]
    assert fills(unknown_lead_questions(LeadAnswers(kind="mode_2"))) == ["the lead"]
    assert fills(unknown_lead_questions(LeadAnswers(kind="none"))) == []
    assert fills(unknown_outlet_questions(OutletAnswers())) == ["the outlet"]


def test_a_recorded_lead_is_asked_for_its_plug_and_identity() -> None:
    assert fills(lead_questions(lead_details())) == ["temperature sensing of the plug", "identity of the lead"]
    assert fills(lead_questions(lead_details(has_plug_sensor="no", maker_model="M 2"))) == []


def test_nobody_but_the_electrician_is_asked_to_open_anything() -> None:
    texts = [question.text for question in supply_questions(SupplyDetails(), SupplyAnswers())]
    assert not any("open" in text or "unscrew" in text for text in texts)


def test_an_extension_lead_in_use_is_described_as_far_as_it_is_known() -> None:
    known = extension_question("orange reel", "7", Decimal("1.50"), Decimal(10), "Garage").text
    assert "“orange reel” (marked 7, 1.5 mm2, 10 m) is used at Garage" in known
    assert "(without a mark, size not known, length not known)" in extension_question("lead", "", None, None, "x").text
