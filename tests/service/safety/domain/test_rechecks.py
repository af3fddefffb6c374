"""The earliest of rule, report and use governs each date; a claim never puts one off; months are months, days days."""

from dataclasses import replace
from datetime import date

import pytest

from service.safety.domain.evidence import RecheckItem
from service.safety.domain.intervals import SchemeInterval
from service.safety.domain.rechecks import (
    INSPECTION_RULE,
    DatedHome,
    DatedInspection,
    DatedOutlet,
    SetDate,
    Task,
    cited,
    set_dates,
    task_of,
)

TODAY = date(2026, 11, 25)
OUTLET, LEAD, RUN, CIRCUIT = "o" * 32, "l" * 32, "r" * 32, "c" * 32
SOCKET = DatedOutlet(OUTLET, "socket_13a", None, None)
DONE = DatedInspection(OUTLET, date(2026, 1, 31), date(2029, 1, 31), True)
HOME = DatedHome("owner", "england", date(2025, 1, 1), (SOCKET,), inspections=(DONE,))


def dates(home: DatedHome, task: Task, kind: RecheckItem = RecheckItem.OUTLET) -> list[SetDate]:
    return [each for each in set_dates(home, on=TODAY) if each.task is task and each.item_kind is kind]


def inspection(home: DatedHome) -> SetDate:
    [found] = dates(home, Task.INSPECTION)
    return found


def test_the_reports_own_date_governs_where_it_is_the_earliest() -> None:
    found = inspection(HOME)
    assert (found.due_on, found.rule, found.rule_name) == (date(2029, 1, 31), INSPECTION_RULE, "report_states")
    assert found.interval_days == (date(2029, 1, 31) - date(2026, 1, 31)).days
    assert not found.is_claimed


def test_other_people_in_the_home_bring_its_inspection_forward_to_the_day_they_come() -> None:
    home = replace(HOME, circuits=(CIRCUIT,), outlets=(replace(SOCKET, circuit_id=CIRCUIT),))
    for since, due in ((date(2026, 11, 20), date(2026, 11, 20)), (date(2027, 2, 1), date(2027, 2, 1))):
        moved = replace(home, occupied_since_on=since)
        found = inspection(moved)
        assert (found.due_on, found.rule_name, found.since_on) == (due, "new_occupants", DONE.inspected_on)
        [report] = dates(moved, Task.INSPECTION, RecheckItem.CIRCUIT)
        assert (report.due_on, report.rule_name) == (due, "new_occupants")
    assert "GN3" in cited("new_occupants")
    assert task_of("outlet", "new_occupants", found.rule) is Task.INSPECTION


def test_who_lived_there_when_it_was_inspected_brings_nothing_forward() -> None:
    for since in (date(2020, 1, 1), DONE.inspected_on):
        assert inspection(replace(HOME, occupied_since_on=since)).rule_name == "report_states"


@pytest.mark.parametrize(
    ("tenure", "nation", "years", "name"),
    [
        ("owner", "england", 10, "report_owner"),
        ("private_rented", "england", 5, "report_private_england"),
        ("private_rented", "scotland", 5, "report_rented_scotland"),
        ("private_rented", "wales", 5, "report_rented_wales"),
        ("private_rented", "northern_ireland", 5, "report_rented"),
        ("social_rented", "england", 5, "report_social_england"),
        ("not_known", "england", 5, "report_not_known"),
    ],
)
def test_tenure_and_nation_govern_where_the_report_states_a_later_date(
    tenure: str, nation: str, years: int, name: str
) -> None:
    late = replace(DONE, next_due_on=date(2040, 1, 1))
    found = inspection(replace(HOME, tenure=tenure, nation=nation, inspections=(late,)))
    assert (found.due_on, found.rule_name) == (date(2026 + years, 1, 31), name)


@pytest.mark.parametrize(
    ("kind", "nights", "due_on"),
    [
        ("socket_13a", 4, date(2027, 1, 31)),
        ("socket_13a", 3, date(2029, 1, 31)),
        ("socket_13a", None, date(2029, 1, 31)),
        ("charging_point", 7, date(2029, 1, 31)),
    ],
)
def test_more_than_three_nights_a_week_on_a_socket_bring_the_electrician_yearly(
    kind: str, nights: int | None, due_on: date
) -> None:
    assert inspection(replace(HOME, outlets=(replace(SOCKET, kind=kind, nights_a_week=nights),))).due_on == due_on


def test_a_claim_alone_sets_a_date_that_says_so() -> None:
    found = inspection(replace(HOME, inspections=(replace(DONE, is_counting=False),)))
    assert (found.due_on, found.is_claimed) == (date(2029, 1, 31), True)


@pytest.mark.parametrize(
    ("claimed_due_on", "due_on", "is_claimed"),
    [(date(2035, 1, 1), date(2029, 1, 31), False), (date(2027, 6, 1), date(2027, 6, 1), True)],
)
def test_a_claim_made_since_brings_a_date_forward_and_never_puts_it_off(
    claimed_due_on: date, due_on: date, is_claimed: bool
) -> None:
    claim = DatedInspection(OUTLET, date(2026, 6, 1), claimed_due_on, False)
    found = inspection(replace(HOME, inspections=(DONE, claim)))
    assert (found.due_on, found.is_claimed) == (due_on, is_claimed)


def test_an_inspection_of_tomorrow_or_of_another_outlet_sets_nothing() -> None:
    for other in (replace(DONE, inspected_on=date(2026, 11, 26)), replace(DONE, outlet_id="x" * 32)):
        assert set_dates(replace(HOME, inspections=(other,)), on=TODAY) == ()


def test_an_extension_moves_one_date_once_and_says_why() -> None:
    found = inspection(replace(HOME, extensions={(OUTLET, date(2029, 1, 31)): date(2029, 2, 10)}))
    assert found.due_on == date(2029, 2, 10) and "put off once to 2029-02-10" in found.rule
    assert inspection(replace(HOME, extensions={(OUTLET, date(2028, 1, 1)): date(2029, 2, 10)})).due_on.year == 2029


@pytest.mark.parametrize(
    ("looked_on", "due_on"),
    [
        (date(2026, 1, 31), date(2026, 2, 28)),
        (date(2028, 1, 31), date(2028, 2, 29)),
        (date(2026, 11, 30), date(2026, 12, 30)),
    ],
)
def test_a_socket_is_looked_at_every_calendar_month(looked_on: date, due_on: date) -> None:
    home = replace(HOME, inspections=(), looked_on={(RecheckItem.OUTLET, OUTLET): looked_on})
    [found] = dates(home, Task.CHECK)
    assert (found.due_on, found.rule_name) == (due_on, "check_socket")


@pytest.mark.parametrize(("kind", "months"), [("mode_2", 1), ("mode_3_cable", 12)])
def test_a_lead_is_looked_at_by_its_kind(kind: str, months: int) -> None:
    home = replace(HOME, leads={LEAD: kind}, looked_on={(RecheckItem.LEAD, LEAD): date(2026, 11, 1)})
    [found] = dates(home, Task.CHECK, RecheckItem.LEAD)
    assert found.due_on == (date(2026, 12, 1) if months == 1 else date(2027, 11, 1))


def test_a_month_after_a_sign_was_lifted_it_is_looked_at_again() -> None:
    item = (RecheckItem.OUTLET, OUTLET)
    point = replace(SOCKET, kind="charging_point")
    lifted = replace(HOME, outlets=(point,), lifted_on={item: date(2026, 11, 1)})
    cases = {
        None: (date(2026, 12, 1), "after_sign"),
        date(2026, 11, 2): (date(2026, 12, 1), "after_sign"),  # the look right after it is not the one asked for
        date(2026, 11, 24): (date(2027, 11, 24), "check_point"),
    }
    for looked_on, expected in cases.items():
        [found] = dates(replace(lifted, looked_on={item: looked_on} if looked_on else {}), Task.CHECK)
        assert (found.due_on, found.rule_name) == expected


def test_an_rcd_is_pressed_six_months_after_the_last_time_anybody_tried_it() -> None:
    home = replace(HOME, outlets=(replace(SOCKET, circuit_id=CIRCUIT),), circuits=(CIRCUIT,), devices={RUN: CIRCUIT})
    cases = [
        (replace(home, inspections=()), date(2025, 7, 1)),  # from the day the home was entered
        (home, date(2026, 7, 31)),  # the inspection tried it
        (replace(home, pressed_on={RUN: date(2026, 8, 31)}), date(2027, 2, 28)),
    ]
    for each, due_on in cases:
        [found] = dates(each, Task.BUTTON, RecheckItem.DEVICE)
        assert (found.due_on, found.rule_name) == (due_on, "rcd_button")


def test_a_circuit_is_reported_on_by_tenure() -> None:
    home = replace(HOME, outlets=(replace(SOCKET, circuit_id=CIRCUIT),), circuits=(CIRCUIT,))
    [found] = dates(home, Task.INSPECTION, RecheckItem.CIRCUIT)
    assert (found.due_on, found.rule_name) == (date(2036, 1, 31), "report_owner")


def test_what_a_report_calls_for_in_a_rented_home_is_due_in_28_days_not_in_a_month() -> None:
    home = replace(HOME, tenure="private_rented", inspections=(replace(DONE, has_open_stop=True),))
    [found] = dates(home, Task.REMEDY)
    assert (found.due_on, found.interval_days) == (date(2026, 2, 28), 28)
    assert dates(replace(home, tenure="owner"), Task.REMEDY) == []


def test_a_scheme_shortens_a_rule_and_cannot_lengthen_it() -> None:
    home = replace(HOME, inspections=(), looked_on={(RecheckItem.OUTLET, OUTLET): date(2026, 11, 1)})
    shorter = SchemeInterval("check_socket", date(2026, 1, 1), days=14)
    [found] = dates(replace(home, scheme=(shorter,)), Task.CHECK)
    assert found.due_on == date(2026, 11, 15) and "in this scheme every 14 days" in found.rule
    longer = SchemeInterval("check_socket", date(2026, 1, 1), days=60)
    assert dates(replace(home, scheme=(longer,)), Task.CHECK)[0].due_on == date(2026, 12, 1)


def test_two_tasks_on_one_date_are_one_row_the_electricians() -> None:
    home = replace(
        HOME, inspections=(replace(DONE, next_due_on=date(2026, 12, 1)),),
        looked_on={(RecheckItem.OUTLET, OUTLET): date(2026, 11, 1)},
    )  # fmt: skip
    assert [each.task for each in set_dates(home, on=TODAY)] == [Task.INSPECTION]


@pytest.mark.parametrize(
    ("kind", "name", "rule", "task"),
    [
        ("outlet", "", INSPECTION_RULE, Task.INSPECTION),
        ("outlet", "inspect_regular_socket", "x", Task.INSPECTION),
        ("outlet", "check_socket", "x", Task.CHECK),
        ("lead", "after_sign", "x", Task.CHECK),
        ("outlet", "remedy_private_england", "x", Task.REMEDY),
        ("device", "rcd_button", "x", Task.BUTTON),
        ("circuit", "report_owner", "x", Task.INSPECTION),
        ("lead", "", "somebody's own date", Task.OTHER),
    ],
)
def test_a_stored_recheck_says_what_is_done_with_it(kind: str, name: str, rule: str, task: Task) -> None:
    assert task_of(kind, name, rule) is task


def test_every_rule_says_where_it_comes_from() -> None:
    assert cited("check_socket") == "common practice, no source"
    assert cited("report_rented_wales") == "from memory, to be checked"
    assert cited("rcd_button").startswith("BS 7671 514.12.2")
    assert cited("") == ""


def test_worse_evidence_never_gives_a_later_date() -> None:
    claim = DatedInspection(OUTLET, date(2026, 6, 1), date(2034, 6, 1), False)
    assert inspection(replace(HOME, inspections=(DONE, claim))).due_on <= inspection(HOME).due_on
    not_known = replace(HOME, tenure="not_known", inspections=(replace(DONE, next_due_on=date(2040, 1, 1)),))
    assert inspection(not_known).due_on <= inspection(replace(not_known, tenure="owner")).due_on
