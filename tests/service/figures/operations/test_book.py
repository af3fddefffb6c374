"""The book of today: shipped figures, the operator's before them, and what neither knows."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from service.figures import operations
from service.figures.domain.shipped import shipped_figures
from service.infrastructure.db.sessions import Database, SchemeSession
from tests.conftest import NOON
from tests.factories.figures import recorded

pytestmark = pytest.mark.both_databases
TODAY = NOON.date()
HOME = "advisory_electric_home"


def test_without_records_the_book_is_what_is_shipped(session: SchemeSession) -> None:
    assert set(operations.load_book(session).all()) == set(shipped_figures())
    assert {line.recorded for line in operations.list_lines(session)} == {None}


def test_every_scheme_reads_what_the_operator_recorded(database: Database, session: SchemeSession) -> None:
    with database.system(write=True) as system:
        operations.record_figure(system, recorded(value=Decimal("6.5")), by="Op", at=NOON)
    figure = operations.load_book(session).at(HOME, TODAY)
    assert (figure.value, figure.standing) == (Decimal("6.5"), "operator")


def test_a_record_of_the_same_day_stands_before_the_shipped_one_until_it_is_withdrawn(database: Database) -> None:
    on = date(2026, 6, 15)
    with database.system(write=True) as system:
        row = operations.record_figure(system, recorded(from_on=date(2026, 6, 1)), by="Op", at=NOON)
        assert operations.load_book(system).at(HOME, on).source == "read on the publisher's page"
        (line,) = operations.list_lines(system, name=HOME, on=on)
        assert line.recorded is row
        operations.withdraw_figure(system, row.id, by="Op", at=NOON)
        assert operations.load_book(system).at(HOME, on).source.startswith("HMRC")


def test_of_two_records_of_one_day_the_later_one_holds(database: Database) -> None:
    with database.system(write=True) as system:
        for hours, value in ((2, 8), (0, 7)):
            figure = recorded(value=Decimal(value))
            operations.record_figure(system, figure, by="Op", at=NOON + timedelta(hours=hours))
        assert operations.load_book(system).at(HOME, TODAY).value == 8
        assert [line.figure.value for line in operations.list_lines(system, name=HOME, on=TODAY)] == [8]


def test_what_is_not_known_is_listed_with_the_day_it_stopped(database: Database) -> None:
    with database.system(write=True) as system:
        missing = {(each.name, each.key): each.since_on for each in operations.list_not_known(system, on=TODAY)}
        assert missing[HOME, ""] == date(2026, 9, 1)
        assert missing["typical_use", "single_rate_low"] == date(2026, 7, 1)
        assert missing["carbon_electricity_generated", ""] == date(2026, 1, 1)
        assert ("typical_use", "single_rate_medium") not in missing
        operations.record_figure(system, recorded(), by="Op", at=NOON)
        assert operations.list_not_known(system, on=TODAY, name=HOME) == []
        (never,) = operations.list_not_known(system, on=date(2020, 1, 1), name="advisory_electric_public")
        assert never.since_on is None


def test_lines_of_a_day_are_those_in_force(session: SchemeSession) -> None:
    lines = operations.list_lines(session, on=date(2025, 9, 1))
    assert len({(line.figure.name, line.figure.key) for line in lines}) == len(lines)
    found = {line.figure.name: line.figure.value for line in lines}
    assert (found[HOME], found["advisory_electric_public"]) == (8, 14)
