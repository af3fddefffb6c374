"""What may be said of incidents, withdrawals and tests of leads."""

from datetime import timedelta
from typing import Any

import pytest

from service.common.errors import Rejected
from service.safety.domain.report_details import (
    IncidentDetails,
    LeadTestDetails,
    WithdrawalDetails,
    check_not_later,
)
from tests.factories.signs import REPORTED_AT as NOON

BAD: list[tuple[Any, dict[str, Any], str]] = [
    (IncidentDetails, {"sign": "gremlins"}, "sign"),
    (IncidentDetails, {"sign": "lead_failed_test"}, "sign"),
    (IncidentDetails, {"sign": "lead_knocked", "outlet_id": "o"}, "outlet_id"),
    (IncidentDetails, {"sign": "house_moved", "lead_id": "l"}, "lead_id"),
    (IncidentDetails, {"sign": "warm", "note": "x" * 501}, "note"),
    (WithdrawalDetails, {"reason": "  "}, "reason"),
    (WithdrawalDetails, {"reason": "x" * 501}, "reason"),
    (LeadTestDetails, {"kind": "look", "done_at": NOON, "tested_by": "A"}, "kind"),
    (LeadTestDetails, {"kind": "test", "done_at": NOON, "tested_by": ""}, "tested_by"),
    (LeadTestDetails, {"kind": "test", "done_at": NOON, "tested_by": "A", "reference": "x" * 121}, "reference"),
    (LeadTestDetails, {"kind": "replacement", "done_at": NOON, "tested_by": "A", "is_passed": False}, "is_passed"),
]


@pytest.mark.parametrize(("kind", "values", "field"), BAD)
def test_what_breaks_a_rule_is_refused_by_name(kind: Any, values: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        kind(**values)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_what_a_sign_acts_on_may_be_left_unnamed() -> None:
    assert IncidentDetails("warm").outlet_id is None
    assert IncidentDetails("lead_knocked", lead_id="l").lead_id == "l"


def test_nothing_is_reported_before_it_happened() -> None:
    check_not_later("seen_at", None, at=NOON)
    check_not_later("seen_at", NOON, at=NOON)
    with pytest.raises(Rejected) as refused:
        check_not_later("seen_at", NOON + timedelta(seconds=1), at=NOON)
    assert refused.value.faults[0].field == "seen_at"
