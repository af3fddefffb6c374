"""A submission is one result for each outlet of the visit; each fault is named by its place in the body."""

from datetime import date
from typing import Any

import pytest

from service.common.errors import Rejected
from service.safety.domain.inspection_details import FAILED_READING
from service.safety.domain.submission import build_submission

HALL, DRIVE = "a" * 32, "b" * 32


def outlet(outlet_id: str = HALL, **changes: Any) -> dict[str, Any]:
    usual = {
        "outlet_id": outlet_id, "inspected_on": date(2026, 11, 25), "next_due_on": date(2027, 11, 25),
        "certificate_number": "C-1",
    }
    return {**usual, **changes}


def body(*outlets: dict[str, Any], **changes: Any) -> dict[str, Any]:
    return {"outlets": list(outlets), "electrician_name": "E. Volt (invented)", "registration": "r", **changes}


def faults_of(sent: dict[str, Any]) -> list[tuple[str, object]]:
    with pytest.raises(Rejected) as refused:
        build_submission(sent)
    return [(fault.field, fault.value) for fault in refused.value.faults]


def test_name_and_registration_stand_with_each_result() -> None:
    built = build_submission(body(outlet(HALL), outlet(DRIVE), is_partial=True))
    assert [each.electrician for each in built.outlets] == ["E. Volt (invented)"] * 2
    assert [(each.registration, each.is_partial) for each in built.outlets] == [("r", True)] * 2


def test_every_fault_of_every_result_is_named_by_its_place() -> None:
    sent = body(
        outlet(HALL, next_due_on=date(2026, 11, 25)),
        outlet(DRIVE, limit_a=8, answers={"rcd_ma": 5_000}, observations=[{"code": "C3"}, {"code": "C9"}]),
        electrician_name=" ",
    )
    assert faults_of(sent) == [
        ("outlets.0.next_due_on", "2026-11-25"),
        ("outlets.1.observations.1.code", "C9"),
        ("outlets.1.answers.rcd_ma", "5000"),
        ("outlets.1.limit_reason", ""),
        ("electrician_name", " "),
    ]


def test_no_outlet_is_named_twice_and_at_least_one_is() -> None:
    assert faults_of(body(outlet(), outlet())) == [("outlets.1.outlet_id", HALL)]
    assert faults_of(body()) == [("outlets", 0)]


def test_a_whole_submission_leaves_no_outlet_out_and_a_partial_one_may() -> None:
    whole, partial = build_submission(body(outlet())), build_submission(body(outlet(), is_partial=True))
    partial.check_outlets((HALL, DRIVE))
    with pytest.raises(Rejected, match="each outlet of the visit"):
        whole.check_outlets((HALL, DRIVE))


def test_an_outlet_of_another_visit_is_refused() -> None:
    with pytest.raises(Rejected) as refused:
        build_submission(body(outlet(DRIVE), is_partial=True)).check_outlets((HALL,))
    assert [fault.field for fault in refused.value.faults] == ["outlets.0.outlet_id"]


@pytest.mark.parametrize(
    ("changes", "stops"),
    [
        ({}, ()),
        ({"observations": [{"code": "C3"}]}, ()),
        ({"observations": [{"code": "FI"}, {"code": "C1"}, {"code": "C1"}]}, ("C1", "FI")),
        ({"observations": [{"code": "C2", "closed_on": date(2026, 11, 25)}]}, ()),
        ({"answers": {"polarity": "no"}}, (FAILED_READING,)),
        ({"answers": {"polarity": "no"}, "observations": [{"code": "C2"}]}, ("C2", FAILED_READING)),
    ],
)
def test_open_codes_and_failed_readings_stop_use(changes: dict[str, Any], stops: tuple[str, ...]) -> None:
    assert build_submission(body(outlet(**changes))).outlets[0].stops == stops
