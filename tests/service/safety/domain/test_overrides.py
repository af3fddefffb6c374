"""A safety officer may make an answer stricter or put one date off; never milder."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from service.common.errors import Rejected
from service.safety.domain.clearance import OutletClearance, outlet_clearance
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from service.safety.domain.overrides import OverrideDetails, OverrideKind, OverrideRecord
from tests.factories.signs import LONDON, SOCKET, inspection_of, looked_after, report_of

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
DUE = date(2026, 11, 28)
DAY = timedelta(days=1)
STRICTER = {"kind": "stricter", "item_kind": "outlet", "item_id": "o", "reason": "worn", "clearance": "do_not_use"}
EXTENSION = {
    "kind": "extension", "item_kind": "outlet", "item_id": "o", "reason": "booked", "due_on": DUE,
    "new_due_on": DUE + 14 * DAY, "visit_id": "v",
}  # fmt: skip


def stricter(clearance: Clearance, limit_a: int | None = None, **changes: Any) -> OverrideRecord:
    kind = OverrideKind.STRICTER
    record = OverrideRecord("s", kind, "outlet", SOCKET.id, clearance, limit_a, None, None, "worn", NOON - DAY)
    return replace(record, **changes)


def extension(days: int = 14, **changes: Any) -> OverrideRecord:
    kind, new = OverrideKind.EXTENSION, DUE + timedelta(days)
    record = OverrideRecord("e", kind, "outlet", SOCKET.id, None, None, DUE, new, "booked", NOON - DAY)
    return replace(record, **changes)


def found(*overrides: OverrideRecord, at: datetime = NOON, sign: str | None = None) -> OutletClearance:
    record = inspection_of(SOCKET.id, "2026-06-01", DUE.isoformat())
    evidence = looked_after([record], [report_of(sign)] if sign else [], overrides=overrides)
    return outlet_clearance(SOCKET, evidence, at=at, zone=LONDON)


@pytest.mark.parametrize("clearance", [Clearance.DO_NOT_USE, Clearance.NOT_KNOWN])
def test_a_stricter_decision_stops_and_says_who_can_end_it(clearance: Clearance) -> None:
    stopped = found(stricter(clearance))
    assert (stopped.clearance, stopped.needs) == (clearance, (Need.OVERRIDE_ENDED,))
    assert "because worn" in stopped.evidence


def test_a_stricter_decision_lowers_the_current_and_never_raises_it() -> None:
    assert found(stricter(Clearance.USE_WITH_LIMITS, 8)).limit_a == 8
    assert found(stricter(Clearance.USE_WITH_LIMITS, 32)).limit_a == 10
    assert found(stricter(Clearance.USE_WITH_LIMITS, 8), sign="warm").clearance is Clearance.DO_NOT_USE
    assert found(stricter(Clearance.NOT_KNOWN), sign="warm").clearance is Clearance.DO_NOT_USE


def test_it_holds_from_when_it_was_made_until_it_was_ended_and_for_its_item_alone() -> None:
    stop = stricter(Clearance.DO_NOT_USE, ended_at=NOON)
    allowed = [found(stop, at=NOON + step).clearance.allows_charging for step in (-2 * DAY, -DAY, 0 * DAY)]
    assert allowed == [True, False, True]
    assert found(replace(stop, ended_at=None, item_id="porch")).clearance.allows_charging
    assert found(replace(stop, ended_at=None, item_kind="lead")).clearance.allows_charging


def test_an_extension_moves_the_due_date_and_the_answer_says_so() -> None:
    assert found().valid_until == datetime(2026, 11, 28, tzinfo=UTC)
    for days in (1, 14):
        # By 12 December the check of 1 December holds as well.
        moved = found(extension(days), at=datetime(2026, 12, 1, 12, tzinfo=UTC))
        assert moved.clearance.allows_charging is (days == 14)
    assert "put off to 2026-12-12" in found(extension()).evidence


@pytest.mark.parametrize(
    "broken",
    [
        extension(15),
        extension(0),
        extension(ended_at=NOON),
        extension(due_on=DUE - DAY),
        extension(item_id="porch"),
        extension(made_at=datetime(2026, 11, 28, 0, 0, tzinfo=UTC)),
    ],
)
def test_an_extension_too_long_too_late_ended_or_of_another_date_moves_nothing(broken: OverrideRecord) -> None:
    assert found(broken, at=datetime(2026, 11, 28, 12, tzinfo=UTC)).clearance is Clearance.NOT_KNOWN


def test_an_extension_lifts_neither_a_sign_nor_a_decision() -> None:
    assert found(extension(), sign="warm").clearance is Clearance.DO_NOT_USE
    assert found(extension(), stricter(Clearance.NOT_KNOWN)).clearance is Clearance.NOT_KNOWN


@pytest.mark.parametrize(
    ("base", "changes", "field"),
    [
        (STRICTER, {"kind": "milder"}, "kind"),
        (STRICTER, {"item_kind": "circuit"}, "item_kind"),
        (STRICTER, {"reason": "  "}, "reason"),
        (STRICTER, {"clearance": "fit_to_use"}, "clearance"),
        (STRICTER, {"clearance": None}, "clearance"),
        (STRICTER, {"clearance": "use_with_limits"}, "limit_a"),
        (STRICTER, {"limit_a": 8}, "limit_a"),
        (STRICTER, {"clearance": "use_with_limits", "limit_a": 0}, "limit_a"),
        (STRICTER, {"due_on": DUE}, "due_on"),
        (EXTENSION, {"item_kind": "lead"}, "item_kind"),
        (EXTENSION, {"clearance": "do_not_use"}, "clearance"),
        (EXTENSION, {"visit_id": None}, "visit_id"),
        (EXTENSION, {"new_due_on": None}, "new_due_on"),
        (EXTENSION, {"new_due_on": DUE}, "new_due_on"),
        (EXTENSION, {"new_due_on": DUE + 15 * DAY}, "new_due_on"),
    ],
)
def test_a_decision_that_breaks_a_rule_is_refused(base: dict[str, Any], changes: dict[str, Any], field: str) -> None:
    OverrideDetails(**base)
    with pytest.raises(Rejected) as refused:
        OverrideDetails(**{**base, **changes})
    assert field in [fault.field for fault in refused.value.faults]
