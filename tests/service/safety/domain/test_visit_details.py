"""What is asked for and agreed of a visit breaks no rule, or each broken rule is named."""

from datetime import date, time
from typing import Any

import pytest

from service.common.errors import Rejected
from service.safety.domain.visit_details import (
    ElectricianDetails,
    VisitMove,
    VisitRequest,
    VisitTerms,
    outward_of,
)

DAY = date(2026, 11, 26)


def fields_of(build: Any, **values: Any) -> list[str]:
    with pytest.raises(Rejected) as refused:
        build(**values)
    return [fault.field for fault in refused.value.faults]


def test_a_request_names_some_outlets_each_once() -> None:
    assert VisitRequest(("a", "b")).outlet_ids == ("a", "b")
    assert fields_of(VisitRequest, outlet_ids=()) == ["outlet_ids"]
    assert fields_of(VisitRequest, outlet_ids=tuple("abcdefghijk")) == ["outlet_ids"]
    assert fields_of(VisitRequest, outlet_ids=("a", "b", "a")) == ["outlet_ids.2"]
    assert fields_of(VisitRequest, outlet_ids=("a",), reason="x" * 301) == ["reason"]


def test_times_need_a_day_and_run_forwards() -> None:
    VisitTerms(agreed_on=DAY, agreed_from=time(9), agreed_until=time(11), cost_pence=0)
    assert fields_of(VisitTerms, agreed_from=time(9), agreed_until=time(11)) == ["agreed_from", "agreed_until"]
    assert fields_of(VisitTerms, agreed_on=DAY, agreed_from=time(11), agreed_until=time(11)) == ["agreed_until"]
    assert fields_of(VisitTerms, cost_pence=1_000_001) == ["cost_pence"]


@pytest.mark.parametrize("state", ["date_agreed", "recorded", "accepted", "gone"])
def test_a_person_takes_no_step_that_follows_from_something_else(state: str) -> None:
    assert fields_of(VisitMove, state=state) == ["state"]


@pytest.mark.parametrize("state", ["no_access", "done", "cancelled", "asked"])
def test_a_person_takes_these_steps(state: str) -> None:
    assert VisitMove(state, "a note").state == state


@pytest.mark.parametrize(
    "email", ["", "a", "a@", "a b@c.example", "a@b.example\r\nBcc: x@y.example", "<a@b.example>", "a..b@c.example"]
)
def test_an_electrician_has_one_plain_address(email: str) -> None:
    assert fields_of(ElectricianDetails, name="E", email=email) == ["email"]


@pytest.mark.parametrize(
    ("postcode", "area"),
    [("ZZ1 1AA", "ZZ1"), ("zz11aa", "ZZ1"), ("ZZ1A 1AA", "ZZ1A"), (" Z1  1AA ", "Z1"), ("ZZ1", "ZZ1"), ("", "")],
)
def test_the_area_is_the_outward_part_of_the_postcode(postcode: str, area: str) -> None:
    assert outward_of(postcode) == area
