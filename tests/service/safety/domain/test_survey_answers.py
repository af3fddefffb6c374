"""The survey's answers: each rule by name, "not known" everywhere, and stored as they were given."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.households.domain.equipment import CableKind, CircuitRunKind, Earthing, LargeLoadKind, YesNo
from service.households.domain.equipment_details import RunDetails
from service.households.domain.home_details import LargeLoad
from service.safety.domain.survey_answers import (
    ANSWERS_OF,
    CircuitAnswers,
    ConsentDetails,
    ConsentsAnswers,
    HomeAnswers,
    LeadAnswers,
    OutletAnswers,
    SupplyAnswers,
    from_json,
    is_known,
    later_than,
    to_json,
)
from service.safety.domain.survey_steps import ASKED, SurveyStep


def faults_of(make: Any, **answers: Any) -> list[str]:
    with pytest.raises(Rejected) as refused:
        make(**answers)
    return [fault.field for fault in refused.value.faults]


@pytest.mark.parametrize("step", ASKED)
def test_every_step_may_be_answered_not_known_throughout(step: SurveyStep) -> None:
    answers = ANSWERS_OF[step]()
    assert from_json(step, json.loads(json.dumps(to_json(answers)))) == answers


def test_every_step_is_asked_once() -> None:
    assert sorted(ASKED) == sorted(SurveyStep) == sorted(ANSWERS_OF)


@pytest.mark.parametrize(
    ("make", "answers", "field"),
    [
        (HomeAnswers, {"tenure": "squatted"}, "tenure"),
        (HomeAnswers, {"moved_in_on": date(1849, 12, 31)}, "moved_in_on"),
        (SupplyAnswers, {"fuse_a": 4}, "fuse_a"),
        (SupplyAnswers, {"phases": 0}, "phases"),
        (SupplyAnswers, {"phases": 2}, "phases"),
        (SupplyAnswers, {"earthing": "pme"}, "earthing"),
        (SupplyAnswers, {"looped": "maybe"}, "looped"),
        (SupplyAnswers, {"loads": ({"kind": "sauna"},)}, "loads.0.kind"),
        (SupplyAnswers, {"photo_ids": ("a",) * 9}, "photo_ids"),
        (OutletAnswers, {"kind": "wall"}, "kind"),
        (OutletAnswers, {"kind": "socket_13a", "rated_a": 10}, "rated_a"),
        (OutletAnswers, {"kind": "charging_point", "rated_a": 81}, "rated_a"),
        (OutletAnswers, {"kind": "socket_13a", "is_tethered": True}, "is_tethered"),
        (OutletAnswers, {"place": "shed"}, "place"),
        (OutletAnswers, {"car_place": "street"}, "car_place"),
        (OutletAnswers, {"ip_code": "44"}, "ip_code"),
        (OutletAnswers, {"ev_mark": "maybe"}, "ev_mark"),
        (OutletAnswers, {"in_sun": "often"}, "in_sun"),
        (OutletAnswers, {"nights_a_week": 8}, "nights_a_week"),
        (OutletAnswers, {"label": "x" * 81}, "label"),
        (OutletAnswers, {"since_on": date(1849, 1, 1)}, "since_on"),
        (CircuitAnswers, {"runs": (RunDetails("ring"),) * 21}, "runs"),
        (CircuitAnswers, {"label": "x" * 81}, "label"),
        (LeadAnswers, {"kind": "extension"}, "kind"),
        (LeadAnswers, {"rated_a": 0}, "rated_a"),
        (LeadAnswers, {"kind": "mode_2", "rated_a": 33}, "rated_a"),
        (LeadAnswers, {"rated_a": 10, "set_a": 13}, "set_a"),
        (LeadAnswers, {"set_a": 5}, "set_a"),
        (LeadAnswers, {"settings_a": (10, 8)}, "settings_a"),
        (LeadAnswers, {"rated_a": 10, "settings_a": (8, 13)}, "settings_a.1"),
        (LeadAnswers, {"has_plug_sensor": "perhaps"}, "has_plug_sensor"),
        (LeadAnswers, {"length_m": Decimal(101)}, "length_m"),
        (ConsentDetails, {"kind": "neighbour"}, "kind"),
        (ConsentDetails, {"kind": "landlord", "answer": "perhaps"}, "answer"),
        (ConsentDetails, {"kind": "landlord", "answer": "not_needed", "given_on": date(2026, 1, 1)}, "given_on"),
    ],
)
def test_an_answer_that_breaks_a_rule_is_named(make: Any, answers: dict[str, Any], field: str) -> None:
    assert faults_of(make, **answers) == [field]


def test_a_day_to_come_is_named_wherever_it_stands() -> None:
    today, tomorrow = date(2026, 11, 25), date(2026, 11, 26)
    assert [fault.field for fault in later_than(HomeAnswers(moved_in_on=tomorrow), today)] == ["moved_in_on"]
    assert not list(later_than(HomeAnswers(moved_in_on=today), today))
    consents = ConsentsAnswers(insurer=ConsentDetails("insurer", "yes", tomorrow))
    assert [fault.field for fault in later_than(consents, today)] == ["insurer.given_on"]


@pytest.mark.parametrize(
    ("value", "known"),
    [(None, False), ("", False), ("not_known", False), ((), False), ("no", True), (0, True), (False, True)],
)
def test_no_and_nothing_are_answers_and_a_gap_is_not(value: object, known: bool) -> None:
    assert is_known(value) is known


loads = st.builds(LargeLoad, st.sampled_from(LargeLoadKind), st.none() | st.integers(0, 100_000))
runs = st.builds(
    RunDetails,
    kind=st.sampled_from(CircuitRunKind),
    length_m=st.none() | st.decimals(0, 1000, places=1),
    cable_kind=st.sampled_from(CableKind),
    cable_mm2=st.none() | st.sampled_from([Decimal("2.5"), Decimal(6)]),
)
supplies = st.builds(
    SupplyAnswers,
    fuse_a=st.none() | st.integers(5, 200),
    phases=st.sampled_from([None, 1, 3]),
    earthing=st.sampled_from(Earthing),
    looped=st.sampled_from(YesNo),
    loads=st.lists(loads, max_size=5).map(tuple),
)
lengths = st.none() | st.decimals(0, 100, places=1)
leads = st.builds(LeadAnswers, rated_a=st.none() | st.integers(6, 32), length_m=lengths)


@given(supplies | st.builds(CircuitAnswers, runs=st.lists(runs, max_size=4).map(tuple)) | leads)
def test_answers_are_read_back_as_they_were_given(answers: Any) -> None:
    step = next(step for step, kind in ANSWERS_OF.items() if isinstance(answers, kind))
    assert from_json(step, json.loads(json.dumps(to_json(answers)))) == answers
