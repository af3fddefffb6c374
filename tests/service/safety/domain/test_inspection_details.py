"""Rules of an inspection as it is recorded."""

from datetime import date
from typing import Any

import pytest

from service.common.errors import Rejected
from service.safety.domain.inspection_details import (
    ObservationDetails,
    check_closed_on,
    check_done_on,
    check_not_ahead,
)
from tests.factories.safety import inspection_details

TODAY = date(2026, 11, 25)


def fields_of(call: Any, *args: Any, **more: Any) -> list[str]:
    """Return the fields of what is refused."""
    with pytest.raises(Rejected) as refused:
        call(*args, **more)
    return [fault.field for fault in refused.value.faults]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"certificate_number": " "}, "certificate_number"),
        ({"certificate_number": "x" * 61}, "certificate_number"),
        ({"electrician": ""}, "electrician"),
        ({"next_due_on": date(2026, 6, 1)}, "next_due_on"),
        ({"next_due_on": date(2036, 6, 2)}, "next_due_on"),
        ({"observations": (ObservationDetails("C3", "", date(2026, 5, 31)),)}, "observations.0.closed_on"),
        ({"observations": (ObservationDetails("C3"),) * 51}, "observations"),
    ],
)
def test_an_inspection_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    assert fields_of(inspection_details, "o", **changes) == [field]


def test_the_longest_interval_itself_is_allowed() -> None:
    assert inspection_details("o", next_due_on=date(2036, 6, 1)).next_due_on.year == 2036


def test_an_unknown_code_is_refused() -> None:
    assert fields_of(ObservationDetails, "C4") == ["code"]


def test_evidence_is_of_what_was_done_already() -> None:
    ahead = inspection_details(
        "o", inspected_on=date(2026, 11, 26), observations=(ObservationDetails("C2", "", date(2026, 11, 27)),)
    )
    assert fields_of(check_not_ahead, ahead, on=TODAY) == ["inspected_on", "observations.0.closed_on"]
    check_not_ahead(inspection_details("o", inspected_on=TODAY), on=TODAY)


def test_a_finding_is_closed_between_the_inspection_and_today() -> None:
    inspected_on = date(2026, 6, 1)
    for closed_on in (date(2026, 5, 31), date(2026, 11, 26)):
        assert fields_of(check_closed_on, closed_on, inspected_on=inspected_on, on=TODAY) == ["closed_on"]
    check_closed_on(inspected_on, inspected_on=inspected_on, on=TODAY)
    check_closed_on(TODAY, inspected_on=inspected_on, on=TODAY)


def test_nothing_is_done_in_the_future() -> None:
    assert fields_of(check_done_on, date(2026, 11, 26), on=TODAY) == ["done_on"]
