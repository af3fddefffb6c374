"""Tariffs in lists: which version is current, what a series covers, and whose they are."""

from datetime import UTC, date, datetime

import pytest

from service.accounts.operations import create_scheme
from service.common.errors import NotFound
from service.infrastructure.db.sessions import Database, SchemeSession
from service.tariffs import operations
from service.tariffs.domain.terms import TariffClock, TariffKind
from service.tariffs.operations import TariffNameTaken
from tests.factories.tariffs import NOON, counted_statements, flat_draft, price_csv, series_draft, tariff_with

TODAY = date(2026, 11, 25)


def test_a_new_tariff_has_no_version_and_no_series(session: SchemeSession) -> None:
    tariff = operations.create_tariff(
        session, name="  Alder Fixed ", kind=TariffKind.BANDED, clock=TariffClock.GMT, at=NOON
    )
    view = operations.get_tariff(session, tariff.id, on=TODAY)
    assert (view.name, view.kind, view.clock) == ("Alder Fixed", "banded", "gmt")
    assert (view.current_version_id, view.versions, view.series) == (None, (), None)


def test_a_second_tariff_of_the_same_name_is_refused_by_name(session: SchemeSession) -> None:
    tariff_with(session, name="Alder Fixed")
    with pytest.raises(TariffNameTaken, match="Alder Fixed"):
        tariff_with(session, name="Alder Fixed ")


def test_an_unknown_tariff_is_not_found(session: SchemeSession) -> None:
    with pytest.raises(NotFound):
        operations.get_tariff(session, "0" * 32, on=TODAY)


@pytest.mark.parametrize(
    ("on", "current"),
    [
        (date(2025, 12, 31), None),
        (date(2026, 1, 1), 0),
        (date(2026, 11, 30), 0),
        (date(2026, 12, 1), 1),
    ],
)
def test_the_current_version_is_the_last_published_one_that_has_begun(
    session: SchemeSession, on: date, current: int | None
) -> None:
    tariff_id, versions = tariff_with(session, flat_draft(on=date(2026, 1, 1)), flat_draft(on=date(2026, 12, 1)))
    operations.create_draft(session, tariff_id, flat_draft(on=date(2026, 6, 1)))
    found = operations.get_tariff(session, tariff_id, on=on).current_version_id
    assert found == (None if current is None else versions[current])


def test_versions_are_listed_in_the_order_in_which_they_take_over_with_drafts_among_them(
    session: SchemeSession,
) -> None:
    tariff_id, _ = tariff_with(session, flat_draft(on=date(2026, 12, 1)), flat_draft(on=date(2026, 1, 1)))
    operations.create_draft(session, tariff_id, flat_draft(on=date(2026, 6, 1)))
    versions = operations.get_tariff(session, tariff_id, on=TODAY).versions
    assert [version.valid_from_on.month for version in versions] == [1, 6, 12]
    assert [version.published_at is None for version in versions] == [False, True, False]


def test_a_series_is_summed_up_over_all_regions(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, series_draft(), kind=TariffKind.HALF_HOURLY)
    first_at = datetime(2026, 11, 26, tzinfo=UTC)
    for region in ("north", "south"):
        operations.upload_prices(session, tariff_id, price_csv(first_at, ["10", "11", "12"], region=region), at=NOON)
    series = operations.get_tariff(session, tariff_id, on=TODAY).series
    assert series is not None
    assert (series.first_at, series.last_at, series.count) == (first_at, datetime(2026, 11, 26, 1, tzinfo=UTC), 6)


def test_tariffs_are_listed_by_name_in_three_statements(session: SchemeSession) -> None:
    for name in ("Rowan", "Alder", "Hazel"):
        tariff_with(session, flat_draft(), flat_draft(on=date(2027, 1, 1)), name=name)
    with counted_statements(session) as statements:
        listed = operations.list_tariffs(session, on=TODAY)
    assert [view.name for view in listed] == ["Alder", "Hazel", "Rowan"]
    assert [len(view.versions) for view in listed] == [2, 2, 2]
    assert len(statements) == 3


def test_a_tariff_is_offered_from_its_first_published_day_on_and_a_half_hourly_one_always(
    session: SchemeSession,
) -> None:
    later, _ = tariff_with(session, flat_draft(on=date(2026, 11, 26)), name="Later")
    begun, _ = tariff_with(session, flat_draft(on=TODAY), flat_draft(on=date(2026, 2, 1)), name="Begun")
    operations.create_draft(session, tariff_with(session, name="Draft")[0], flat_draft(on=date(2026, 1, 1)))
    series, _ = tariff_with(session, name="Market", kind=TariffKind.HALF_HOURLY)
    assert operations.offered_tariffs(session, on=TODAY) == [(begun, "Begun"), (series, "Market")]
    found = operations.offered_tariffs(session, on=date(2026, 11, 26))
    assert found == [(begun, "Begun"), (later, "Later"), (series, "Market")]


def test_another_schemes_tariff_is_not_found_and_not_listed(database: Database, session: SchemeSession) -> None:
    tariff_id, [version_id] = tariff_with(session, flat_draft())
    session.commit()
    with database.system(write=True) as system:
        create_scheme(system, scheme_id="b" * 32, name="Other", now=NOON)
    with database.scheme("b" * 32, write=True) as other:
        assert operations.list_tariffs(other, on=TODAY) == []
        assert operations.load_terms(other, [tariff_id], first_slot=0, count=1) == {}
        assert operations.find_version(other, version_id) is None
        for ask in (
            lambda: operations.get_tariff(other, tariff_id, on=TODAY),
            lambda: operations.get_version(other, tariff_id, version_id),
            lambda: operations.create_draft(other, tariff_id, flat_draft()),
            lambda: operations.edit_draft(other, tariff_id, version_id, flat_draft()),
            lambda: operations.delete_draft(other, tariff_id, version_id),
            lambda: operations.publish_version(other, tariff_id, version_id, by=None, at=NOON),
            lambda: operations.upload_prices(other, tariff_id, price_csv(NOON, ["1"]), at=NOON),
        ):
            with pytest.raises(NotFound):
                ask()
