"""Recording and withdrawing leave a trail, and repeat nothing."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from service.common.errors import Conflict, NotFound, Rejected
from service.figures import operations
from service.figures.domain.recording import RecordedFigure
from service.figures.domain.shipped import shipped_figures
from service.figures.models import DatedFigure
from service.infrastructure.db.sessions import Database
from tests.conftest import NOON
from tests.factories.figures import recorded

pytestmark = pytest.mark.both_databases
LATER = NOON + timedelta(hours=1)


def test_a_record_says_who_and_when_and_stays_once_withdrawn(database: Database) -> None:
    with database.system(write=True) as session:
        row_id = operations.record_figure(session, recorded(), by=" Op One ", at=NOON).id
    with database.system(write=True) as session:
        operations.withdraw_figure(session, row_id, by="Op Two", at=LATER)
    with database.system(write=False) as session:
        (row,) = operations.list_withdrawn(session)
        assert (row.recorded_by, row.recorded_at) == ("Op One", NOON)
        assert (row.withdrawn_by, row.withdrawn_at) == ("Op Two", LATER)


@pytest.mark.parametrize("value", ["0.000001", "0.177", "0.207074", "10000000", "9999999.999999"])
def test_a_value_comes_back_to_its_last_decimal(database: Database, value: str) -> None:
    figure = recorded(
        name="work_cost", key="dedicated_circuit", unit="pence", value=Decimal(value), from_on=date(2026, 9, 1)
    )
    with database.system(write=True) as session:
        operations.record_figure(session, figure, by="Op", at=NOON)
    with database.system(write=False) as session:
        found = operations.load_book(session).at("work_cost", date(2026, 9, 1), "dedicated_circuit")
    assert found.value == Decimal(value)


def test_the_same_word_for_word_is_refused_alone_and_passed_over_in_a_table(database: Database) -> None:
    with database.system(write=True) as session:
        operations.record_figure(session, recorded(), by="Op", at=NOON)
        with pytest.raises(Conflict, match="word for word"):
            operations.record_figure(session, recorded(), by="Op", at=LATER)
        done = operations.import_figures(
            session, [recorded(), recorded(name="advisory_electric_public")], by="Op", at=LATER
        )
        assert (len(done.recorded), done.known) == (1, 1)


def test_the_shipped_tables_brought_again_add_nothing(database: Database) -> None:
    figures = [RecordedFigure(**{name: getattr(each, name) for name in FIELDS}) for each in shipped_figures()]
    with database.system(write=True) as session:
        done = operations.import_figures(session, figures, by="Op", at=NOON)
        assert (done.recorded, done.known) == ((), len(figures))


def test_another_value_source_or_end_is_another_record(database: Database) -> None:
    with database.system(write=True) as session:
        first = recorded()
        operations.record_figure(session, first, by="Op", at=NOON)
        for hours, other in enumerate(
            (replace(first, value=Decimal(8)), replace(first, source="another page"),
             replace(first, until_on=date(2026, 12, 1))), start=1,
        ):
            operations.record_figure(session, other, by="Op", at=NOON + timedelta(hours=hours))


@pytest.mark.parametrize("by", ["", "   ", "x" * 121, "a\nb"])
def test_nobody_is_no_name(database: Database, by: str) -> None:
    with database.system(write=True) as session:
        with pytest.raises(Rejected, match="must name who"):
            operations.record_figure(session, recorded(), by=by, at=NOON)
        row = operations.record_figure(session, recorded(), by="Op", at=NOON)
        with pytest.raises(Rejected, match="must name who"):
            operations.withdraw_figure(session, row.id, by=by, at=NOON)


def test_only_what_was_recorded_is_withdrawn_and_only_once(database: Database) -> None:
    with database.system(write=True) as session:
        with pytest.raises(NotFound):
            operations.withdraw_figure(session, "0" * 32, by="Op", at=NOON)
        row = operations.record_figure(session, recorded(), by="Op", at=NOON)
        operations.withdraw_figure(session, row.id, by="Op", at=NOON)
        with pytest.raises(Conflict, match="before"):
            operations.withdraw_figure(session, row.id, by="Op", at=LATER)
        # Withdrawn is gone from the book, so the same may be recorded anew.
        assert operations.record_figure(session, recorded(), by="Op", at=LATER).id != row.id


FIELDS = [column.name for column in DatedFigure.__table__.columns if column.name in RecordedFigure.__dataclass_fields__]
