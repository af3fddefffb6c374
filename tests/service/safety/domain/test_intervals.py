"""How long evidence holds: the row in force decides, and a scheme may only shorten it."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.editions import Mark
from service.safety.domain.intervals import (
    INTERVALS,
    IntervalItem,
    IntervalRule,
    SchemeInterval,
    interval_for,
    tightened,
)

TODAY = date(2026, 11, 25)


def name_of(item: IntervalItem, **changes: object) -> str | None:
    rule = interval_for(item, on=TODAY, **changes)  # type: ignore[arg-type]
    return rule.name if rule else None


def test_what_a_member_checks_has_a_row_for_every_kind() -> None:
    names = [
        name_of(IntervalItem.OUTLET_CHECK, kind=kind) for kind in ("socket_13a", "charging_point")
    ] + [name_of(IntervalItem.LEAD_CHECK, kind=kind) for kind in ("mode_2", "mode_3_cable")]
    assert names == ["check_socket", "check_point", "check_mode_2", "check_mode_3"]


def test_a_report_is_due_by_tenure_and_nation() -> None:
    def due(tenure: str, nation: str, on: date = TODAY) -> int | None:
        rule = interval_for(IntervalItem.HOME_REPORT, on=on, tenure=tenure, nation=nation)
        return rule.months if rule else None

    assert due("owner", "england") == 120
    assert due("private_rented", "england") == due("social_rented", "wales") == due("not_known", "scotland") == 60


def test_the_rule_of_a_nation_goes_before_one_for_all_from_its_day_on() -> None:
    def named(on: date) -> str:
        rule = interval_for(IntervalItem.HOME_REPORT, on=on, tenure="private_rented", nation="england")
        assert rule is not None
        return rule.name

    assert named(date(2020, 6, 30)) == "report_rented"
    assert named(date(2020, 7, 1)) == "report_private_england"


def test_a_socket_used_more_than_three_nights_a_week_is_inspected_yearly() -> None:
    kind = "socket_13a"
    found = [name_of(IntervalItem.OUTLET_INSPECTION, kind=kind, nights_a_week=nights) for nights in (None, 3, 4)]
    assert found == [None, None, "inspect_regular_socket"]


@pytest.mark.reference
@pytest.mark.parametrize(
    ("months", "days", "day", "expected"),
    [
        (12, None, "2024-02-29", "2025-02-28"),
        (60, None, "2024-02-29", "2029-02-28"),
        (6, None, "2026-08-31", "2027-02-28"),
        (60, None, "2021-03-31", "2026-03-31"),
        (None, 28, "2026-01-31", "2026-02-28"),
    ],
)
def test_months_are_counted_on_the_calendar_and_days_as_days(  # type: ignore[no-untyped-def]
    months: int | None, days: int | None, day: str, expected: str, reference
) -> None:
    rule = IntervalRule("r", IntervalItem.RCD_BUTTON, "", "", Mark.DERIVED, date(2020, 1, 1), months=months, days=days)
    got = rule.due_after(date.fromisoformat(day)).isoformat()
    reference(source="facts: date arithmetic by dateutil relativedelta", expected=expected, got=got)


def test_a_rule_is_of_months_or_of_days() -> None:
    for months, days in ((None, None), (1, 1), (0, None), (None, 0)):
        with pytest.raises(Rejected):
            IntervalRule("r", IntervalItem.RCD_BUTTON, "", "", Mark.DERIVED, TODAY, months=months, days=days)


def test_every_row_says_where_it_comes_from_and_has_a_name_of_its_own() -> None:
    assert len({rule.name for rule in INTERVALS}) == len(INTERVALS)
    for rule in INTERVALS:
        assert (rule.source == "") == (rule.mark in (Mark.COMMON_PRACTICE, Mark.FROM_MEMORY)), rule.name
        assert rule.cited


def test_a_scheme_shortens_a_rule_from_its_day_on_and_may_take_that_back() -> None:
    own = [SchemeInterval("check_socket", TODAY + timedelta(after), days=days) for after, days in ((0, 14), (9, 21))]
    lengths = []
    for days in (-1, 0, 9):
        on = TODAY + timedelta(days)
        rule = interval_for(IntervalItem.OUTLET_CHECK, on=on, kind="socket_13a", scheme=tuple(own))
        assert rule is not None
        lengths.append(rule.length)
    assert lengths == ["1 month", "14 days", "21 days"]


@given(
    st.sampled_from(INTERVALS),
    st.integers(1, 200),
    st.booleans(),
    st.integers(0, 4000).map(lambda days: date(2020, 1, 1) + timedelta(days)),
)
def test_a_scheme_never_lengthens_a_rule_from_whichever_day_it_is_counted(
    rule: IntervalRule, count: int, is_months: bool, day: date
) -> None:
    own = SchemeInterval(rule.name, TODAY, months=count if is_months else None, days=None if is_months else count)
    assert tightened(rule, own).due_after(day) <= rule.due_after(day)
