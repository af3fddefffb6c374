"""What evidence says of a lead."""

from dataclasses import replace
from datetime import timedelta

from service.safety.domain.evidence import LeadTestKind
from service.safety.domain.lead_clearance import LeadClearance, lead_clearance
from service.safety.domain.levels import Clearance
from tests.factories.signs import LEAD, LONDON, REPORTED_AT, inspection_of, lead_test_of, report_of

DAY = timedelta(days=1)


def found(*signs: str, tests: tuple = (), days: int = 0) -> LeadClearance:  # type: ignore[type-arg]
    reports = [report_of(sign) for sign in signs]
    return lead_clearance(LEAD, reports, tests, at=REPORTED_AT + days * DAY, zone=LONDON)


def test_without_a_sign_a_lead_is_used_at_what_it_is_set_to_and_is_never_called_fit() -> None:
    bare, tested = found(), found(tests=(lead_test_of(LEAD.id, REPORTED_AT - DAY),))
    for each in (bare, tested):
        assert (each.clearance, each.limit_a, each.missing) == (
            Clearance.USE_WITH_LIMITS, 10, ("a recorded look at the lead",),
        )
    assert bare.evidence == "no open sign is recorded; no test of it is recorded either"
    assert tested.evidence.endswith("recorded as tested on 2026-11-24 by Hollin Wiring (invented)")


def test_the_lesser_of_rating_and_setting_holds() -> None:
    low = replace(LEAD, rated_a=13, set_a=6)
    assert lead_clearance(low, (), (), at=REPORTED_AT, zone=LONDON).limit_a == 6


def test_a_sign_stops_it_and_the_answer_says_what_lifts_it() -> None:
    stopped = found("warm")
    assert (stopped.clearance, stopped.limit_a) == (Clearance.DO_NOT_USE, None)
    assert stopped.evidence == "Plug or socket warmer than just noticeable, reported on 2026-11-25"
    assert stopped.missing == (
        "a test that this lead passed, or its replacement, after the report and recorded by the scheme",
    )
    (step,) = stopped.working.steps
    assert (step.inputs["table of signs"], step.result) == ("2026-11-25", "do not use")


def test_two_signs_are_as_bad_as_the_worse() -> None:
    assert found("charge_drops_out").clearance is Clearance.NOT_KNOWN
    assert found("charge_drops_out", "loose").clearance is Clearance.DO_NOT_USE


def test_many_signs_are_counted_not_listed() -> None:
    assert found("warm", "loose", "buzzing", "scorch", "cracked").evidence.endswith("; and 2 more")


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
    assert found("warm", days=30).clearance is Clearance.DO_NOT_USE
