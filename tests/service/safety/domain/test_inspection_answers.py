"""What an electrician recorded: units and ranges are checked, and "not tested, because" is an answer."""

import json
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from service.common.errors import Rejected
from service.households.domain.equipment import OutletKind
from service.safety.domain.inspection_answers import NOTHING_RECORDED, ExtensionNamed, InspectionAnswers, Reading
from tests.factories.signs import GOOD_ANSWERS


def test_answers_come_back_from_json_as_they_were() -> None:
    extension = ExtensionNamed("drum 7", Decimal("2.5"), Decimal(10))
    untested = Reading(not_tested_because="sockets feed a server")
    for answers in (GOOD_ANSWERS, NOTHING_RECORDED, replace(GOOD_ANSWERS, extension=extension, zs_ohm=untested)):
        assert InspectionAnswers.from_json(json.loads(json.dumps(answers.to_json()))) == answers


def test_what_is_left_out_was_not_recorded() -> None:
    assert InspectionAnswers.from_json({}) == NOTHING_RECORDED
    assert len(NOTHING_RECORDED.missing(OutletKind.SOCKET_13A)) == 13
    assert NOTHING_RECORDED.failures() == ()


def test_complete_answers_miss_nothing_and_fail_nothing() -> None:
    for kind in OutletKind:
        assert GOOD_ANSWERS.missing(kind) == ()
    assert GOOD_ANSWERS.failures() == ()


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"colour": "red"}, "colour"),
        ({"ev_mark": "maybe"}, "ev_mark"),
        ({"rcd_type": "C"}, "rcd_type"),
        ({"rcd_ma": 0}, "rcd_ma"),
        ({"rcd_ma": 1001}, "rcd_ma"),
        ({"rcd_ma": "30"}, "rcd_ma"),
        ({"device_a": True}, "device_a"),
        ({"device_a": 126}, "device_a"),
        ({"supply_phases": 2}, "supply_phases"),
        ({"supply_phases": None}, "supply_phases"),
        ({"polarity": None}, "polarity"),
        ({"zs_corrected": 5}, "zs_corrected"),
        ({"ring_ends_ohm": "x" * 301}, "ring_ends_ohm"),
        ({"zs_ohm": {"value": "-0.1"}}, "zs_ohm"),
        ({"zs_ohm": {"value": "0.12345"}}, "zs_ohm"),
        ({"zs_ohm": {"value": "NaN"}}, "zs_ohm"),
        ({"zs_ohm": {"value": "many"}}, "zs_ohm.value"),
        ({"zs_ohm": {"value": True}}, "zs_ohm.value"),
        ({"zs_ohm": {"reading": "1"}}, "zs_ohm.reading"),
        ({"zs_ohm": 0.5}, "zs_ohm"),
        ({"zs_ohm": {"value": "1", "not_tested_because": "both"}}, "zs_ohm.not_tested_because"),
        ({"rcd_time_ms": {"value": "0"}}, "rcd_time_ms"),
        ({"rcd_time_ms": {"value": "10001"}}, "rcd_time_ms"),
        ({"insulation_mohm": {"value": "1000001"}}, "insulation_mohm"),
        ({"extension": {"identity": "drum"}}, "extension.size_mm2"),
        ({"extension": {"identity": " ", "size_mm2": "1.5", "length_m": "5"}}, "extension.identity"),
        ({"extension": {"identity": "drum", "size_mm2": "0", "length_m": "5"}}, "extension.size_mm2"),
    ],
)
def test_a_value_out_of_range_is_refused_and_named(sent: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        InspectionAnswers.from_json(sent)
    assert field in [fault.field for fault in refused.value.faults]


def test_every_fault_of_a_form_is_named_at_once() -> None:
    with pytest.raises(Rejected) as refused:
        InspectionAnswers.from_json({"ev_mark": "maybe", "rcd_ma": 0.5, "strange": 1})
    assert {fault.field for fault in refused.value.faults} == {"ev_mark", "rcd_ma", "strange"}


def test_a_reading_outside_its_limit_is_accepted_and_fails_the_item() -> None:
    answers = InspectionAnswers.from_json({**GOOD_ANSWERS.to_json(), "zs_ohm": {"value": "1.2"}})
    assert [failure.field for failure in answers.failures()] == ["zs_ohm"]


def test_why_it_was_not_tested_is_told() -> None:
    answers = replace(GOOD_ANSWERS, insulation_mohm=Reading(not_tested_because="a charger is wired in"))
    (missing,) = answers.missing(OutletKind.SOCKET_13A)
    assert missing == "insulation resistance (not tested: a charger is wired in)"
