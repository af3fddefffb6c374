"""Carbon of a home and of the scheme: the usual period, what is left out, and that the sums agree."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from service.common.errors import NotFound, Rejected
from service.figures import operations as figures
from service.infrastructure.db.sessions import Database, SchemeSession
from service.reporting import operations
from service.reporting.domain.carbon import Driven
from tests.conftest import NOON
from tests.factories.driving import add_charge, add_diary
from tests.factories.figures import recorded
from tests.factories.households import FurnishedHome, furnished_home
from tests.factories.tariffs import counted_statements

OCTOBER = datetime(2026, 10, 3, 1, tzinfo=UTC)


def home_carbon(session: SchemeSession, household_id: str, **asked):
    asked = {"from_on": None, "to_on": None, "set_year": None, **asked}
    session.flush()
    return operations.get_home_carbon(session, household_id, **asked, at=NOON)


def scheme_carbon(session: SchemeSession, **asked):
    asked = {"from_on": None, "to_on": None, "set_year": None, **asked}
    session.flush()
    return operations.get_scheme_carbon(session, **asked, at=NOON)


@pytest.fixture
def homes(session: SchemeSession) -> list[FurnishedHome]:
    """Six homes; all were charged in October, four of them in September, one keeps a diary of November."""
    found = [furnished_home(session, reference=f"H-{number}") for number in range(6)]
    for number, home in enumerate(found):
        add_charge(session, home, OCTOBER, 10_000 + number)
        if number < 4:
            add_charge(session, home, OCTOBER.replace(month=9), 1_000)
    add_diary(session, found[0], date(2026, 11, 2), "12.5", "30")
    session.flush()
    return found


def test_a_home_is_told_of_the_year_that_ends_today(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    report = home_carbon(session, homes[0].id)
    assert (report.period.from_on, report.period.to_on) == (date(2025, 11, 25), date(2026, 11, 25))
    assert [month.month_on.month for month in report.account.months] == [9, 10, 11]
    driven = report.account.driven
    # 42.5 miles at 3.6 x 0.84 miles per kWh at the wall; 11 kWh drive 33.3 miles (3.0 in September, 30.2 in October).
    assert (driven.metered_wh, driven.estimated_wh) == (11_000, 14_054)
    assert (driven.told_miles, driven.estimated_miles) == (Decimal("42.5"), Decimal("33.2"))
    assert report.account.electricity_g == 196 + 1_955 + 2_748
    assert "2025 set used for charging in 2026: the 2026 set is not in the book." in report.notes
    assert (report.planned_wh, report.planned_g) == (None, None)
    assert report.set_years == (2022, 2023, 2024, 2025)


def test_a_set_that_the_operator_records_changes_the_answer(
    database: Database, session: SchemeSession, homes: list[FurnishedHome]
) -> None:
    session.commit()
    with database.system(write=True) as system:
        for name, value in (("generated", "0.13"), ("distribution", "0.01")):
            figure = recorded(
                name=f"carbon_electricity_{name}", value=Decimal(value), unit="kg CO2e per kWh",
                from_on=date(2026, 1, 1),
            )
            figures.record_figure(system, figure, by="Op", at=NOON)
    with database.scheme(session.scheme_id, write=False) as reading:
        report = home_carbon(reading, homes[5].id)
    assert report.account.electricity_g == 1_401  # 10.005 kWh x 0.14
    assert not any("charging" in note for note in report.notes)


def test_a_home_without_anything_recorded_is_told_nothing(session: SchemeSession) -> None:
    home = furnished_home(session)
    report = home_carbon(session, home.id)
    assert (report.account.months, report.notes, report.working) == ((), (), ())


def test_no_such_home_and_no_such_set_are_refused(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    with pytest.raises(NotFound):
        home_carbon(session, "0" * 32)
    with pytest.raises(Rejected, match="set_year"):
        home_carbon(session, homes[0].id, set_year=2026)


def test_months_that_fewer_than_five_homes_tell_of_are_left_out_of_the_scheme(
    session: SchemeSession, homes: list[FurnishedHome]
) -> None:
    found = scheme_carbon(session)
    assert (found.report.period.from_on, found.report.period.to_on) == (date(2025, 11, 1), date(2026, 11, 1))
    assert [month.month_on for month in found.report.account.months] == [date(2026, 10, 1)]
    assert found.report.account.driven.energy_wh == 60_015
    assert found.report.notes[0] == "1 month is left out: fewer than 5 homes have anything recorded for it."
    assert (found.household_count, found.told_household_count) == (6, 6)


def test_the_month_that_runs_is_not_told_of_the_scheme(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    for home in homes[1:]:
        add_diary(session, home, date(2026, 11, 2), "10")
    found = scheme_carbon(session, to_on=date(2026, 12, 1))
    assert date(2026, 11, 1) not in {month.month_on for month in found.report.account.months}


def test_the_scheme_is_the_sum_of_its_homes(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    whole = scheme_carbon(session).report.account
    october = {"from_on": date(2026, 10, 1), "to_on": date(2026, 11, 1)}
    parts = [home_carbon(session, home.id, **october).account.driven for home in homes]
    assert whole.driven == sum(parts, Driven())


def test_a_scheme_is_told_in_whole_months_only(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    for asked in ({"from_on": date(2026, 1, 2)}, {"to_on": date(2024, 2, 29)}):
        with pytest.raises(Rejected, match="first day of a month"):
            scheme_carbon(session, **asked)


def test_a_scheme_of_a_few_homes_is_told_nothing(session: SchemeSession) -> None:
    for number in range(4):
        add_charge(session, furnished_home(session, reference=f"H-{number}"), OCTOBER, 1_000)
    found = scheme_carbon(session)
    assert (found.report.account.months, found.told_household_count, found.report.planned_wh) == ((), 0, None)
    assert found.report.notes == ("1 month is left out: fewer than 5 homes have anything recorded for it.",)


def test_many_homes_take_as_many_statements_as_few(session: SchemeSession) -> None:
    counts = []
    for number in (3, 20):
        for more in range(number):
            add_charge(session, furnished_home(session, reference=f"H-{number}-{more}"), OCTOBER, 1_000)
        with counted_statements(session) as sent:
            scheme_carbon(session)
        counts.append(len(sent))
    assert counts[0] == counts[1] <= 9


def test_what_one_home_tells_in_a_way_of_its_own_does_not_stand_apart(
    session: SchemeSession, homes: list[FurnishedHome]
) -> None:
    """Six homes tell kWh; a seventh tells miles alone: as "miles told" they would be that home's own."""
    seventh = furnished_home(session, reference="H-7")
    add_diary(session, seventh, date(2026, 10, 2), "100", "23")
    found = scheme_carbon(session).report
    driven = found.account.driven
    assert (driven.told_miles, driven.metered_wh) == (0, 0)
    assert driven.miles > 123 and driven.estimated_wh == driven.energy_wh > 60_015
    assert "What fewer than 5 homes tell in one way is counted with what is less sure." in found.notes
    assert [step.inputs["told"] for step in found.working if "told" in step.inputs] == ["0 miles"]
