"""What evidence says of a lead."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from service.safety.domain.evidence import LeadTestKind
from service.safety.domain.lead_clearance import LeadClearance, lead_clearance
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from service.safety.domain.overrides import OverrideKind, OverrideRecord
from tests.factories.signs import (
    LEAD,
    LONDON,
    REPORTED_AT,
    check_of,
    inspection_of,
    lead_test_of,
    looked_after,
    report_of,
    supervised_of,
)

DAY = timedelta(days=1)
CHECKED = (check_of("socket", REPORTED_AT - DAY, lead=LEAD.id),)


def found(*signs: str, tests: tuple = (), days: int = 0, checks: tuple = CHECKED, **changes) -> LeadClearance:  # type: ignore[no-untyped-def, type-arg]
    evidence = looked_after((), [report_of(sign) for sign in signs], tests, checks=checks, **changes)
    return lead_clearance(LEAD, evidence, at=REPORTED_AT + days * DAY, zone=LONDON)


def test_a_checked_lead_is_used_at_what_it_is_set_to_and_is_never_called_fit() -> None:
    each = found()
    assert (each.clearance, each.limit_a, each.missing) == (Clearance.USE_WITH_LIMITS, 10, ())
    assert each.evidence == "checked without a sign on 2026-11-24"
    assert each.valid_until == datetime(2026, 12, 24, tzinfo=UTC)


def test_a_lead_that_nobody_looked_at_is_not_known() -> None:
    bare = found(checks=())
    assert (bare.clearance, bare.limit_a, bare.valid_until) == (Clearance.NOT_KNOWN, None, None)
    assert (bare.missing, bare.needs) == (("a clear check of this lead",), (Need.CHECK,))
    assert "one-minute check" in bare.next_step


@pytest.mark.parametrize(
    "checks",
    [
        (check_of("socket", REPORTED_AT - DAY, lead="spare"),),
        (check_of("socket", REPORTED_AT - DAY),),
        (check_of("socket", REPORTED_AT - DAY, lead=LEAD.id, is_clear=False),),
        (check_of("socket", REPORTED_AT + DAY, lead=LEAD.id),),
    ],
)
def test_only_a_clear_check_that_names_it_counts_and_from_when_it_was_made(checks: tuple) -> None:  # type: ignore[type-arg]
    assert found(checks=checks).clearance is Clearance.NOT_KNOWN


def test_a_passed_test_or_a_replacement_counts_as_a_look() -> None:
    tested = found(checks=(), tests=(lead_test_of(LEAD.id, REPORTED_AT - DAY),))
    replaced = found(checks=(), tests=(lead_test_of(LEAD.id, REPORTED_AT, kind=LeadTestKind.REPLACEMENT),))
    assert tested.evidence == "recorded as tested by Hollin Wiring (invented) on 2026-11-24"
    assert replaced.evidence.startswith("recorded as replaced by")
    assert found(checks=(), tests=(lead_test_of(LEAD.id, REPORTED_AT - DAY, is_passed=False),)).limit_a is None


def test_a_supervised_charge_says_nothing_of_the_lead() -> None:
    assert found(checks=(), supervised=(supervised_of("socket", REPORTED_AT - DAY),)).clearance is Clearance.NOT_KNOWN


def test_a_portable_lead_is_checked_monthly_and_the_cable_of_a_point_yearly() -> None:
    cable = replace(LEAD, kind="mode_3_cable")
    evidence = looked_after(checks=CHECKED)
    for lead, days in ((LEAD, 30), (cable, 365)):
        due = datetime(2026, 11, 24, tzinfo=UTC) + days * DAY
        allowed = [
            lead_clearance(lead, evidence, at=due + step, zone=LONDON).clearance.allows_charging
            for step in (-timedelta(seconds=1), timedelta())
        ]
        assert allowed == [True, False], lead.kind


def test_the_lesser_of_rating_and_setting_holds() -> None:
    low = replace(LEAD, rated_a=13, set_a=6)
    assert lead_clearance(low, looked_after(checks=CHECKED), at=REPORTED_AT, zone=LONDON).limit_a == 6


def test_a_sign_stops_it_and_the_answer_says_what_lifts_it() -> None:
    stopped = found("warm")
    assert (stopped.clearance, stopped.limit_a) == (Clearance.DO_NOT_USE, None)
    assert stopped.evidence.startswith("Plug or socket warmer than just noticeable, reported on 2026-11-25")
    assert stopped.missing == (
        "a test that this lead passed, or its replacement, after the report and recorded by the scheme",
    )
    step = stopped.working.steps[0]
    assert (step.inputs["table of signs"], step.result) == ("2026-11-25", "do not use")


def test_two_signs_are_as_bad_as_the_worse() -> None:
    assert found("charge_drops_out").clearance is Clearance.NOT_KNOWN
    assert found("charge_drops_out", "loose").clearance is Clearance.DO_NOT_USE


def test_many_signs_are_counted_not_listed() -> None:
    assert "; and 2 more; " in found("warm", "loose", "buzzing", "scorch", "cracked").evidence


def test_a_recall_ends_with_a_new_lead_and_not_with_a_test() -> None:
    test = lead_test_of(LEAD.id, REPORTED_AT + DAY)
    new = lead_test_of(LEAD.id, REPORTED_AT + DAY, kind=LeadTestKind.REPLACEMENT)
    assert found("lead_recalled", tests=(test,), days=2).clearance is Clearance.DO_NOT_USE
    assert found("lead_recalled", tests=(test, new), days=2).clearance is Clearance.USE_WITH_LIMITS


def test_a_test_recorded_late_lifts_from_when_it_was_recorded() -> None:
    late = replace(lead_test_of(LEAD.id, REPORTED_AT + DAY), recorded_at=REPORTED_AT + 3 * DAY)
    allowed = [found("warm", tests=(late,), days=day).clearance.allows_charging for day in (1, 2, 3)]
    assert allowed == [False, False, True]


def test_an_inspection_of_the_outlet_is_no_evidence_of_the_lead() -> None:
    assert inspection_of("socket", "2026-11-26").outlet_id != LEAD.id
    assert found("warm", days=20).clearance is Clearance.DO_NOT_USE


def test_a_safety_officers_decision_makes_it_stricter_and_never_milder() -> None:
    def decided(clearance: Clearance, limit_a: int | None = None) -> LeadClearance:
        kind, since = OverrideKind.STRICTER, REPORTED_AT - DAY
        override = OverrideRecord("o", kind, "lead", LEAD.id, clearance, limit_a, None, None, "worn pins", since)
        return found(overrides=(override,))

    assert decided(Clearance.DO_NOT_USE).clearance is Clearance.DO_NOT_USE
    assert decided(Clearance.USE_WITH_LIMITS, 8).limit_a == 8
    assert decided(Clearance.USE_WITH_LIMITS, 16).limit_a == 10
