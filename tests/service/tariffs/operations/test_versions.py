"""Drafts are edited and thrown away; publishing happens once, says so once, and freezes the version."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import func, select

from service.common.errors import NotFound, Rejected
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.outbox import Event
from service.tariffs import operations
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.domain.terms import TariffKind
from service.tariffs.models import RateBand, TariffVersion
from service.tariffs.models import RateSheet as StoredSheet
from service.tariffs.operations import VersionFrozen, VersionStartTaken
from tests.factories.tariffs import NOON, flat_draft, night_draft, series_draft, tariff_with
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases


def _events(session: SchemeSession) -> list[tuple[str, dict[str, str]]]:
    session.flush()
    return [(event.name, event.payload) for event in session.scalars(select(Event))]


def test_a_draft_comes_back_as_typed_in_and_announces_nothing(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session)
    draft = night_draft(label=" Winter ", vat_included=False, vat_percent=Decimal("5.25"), on=date(2026, 12, 1))
    made = operations.create_draft(session, tariff_id, draft)
    session.expire_all()
    view = operations.get_version(session, tariff_id, made.id)
    assert view == made
    assert (view.label, view.valid_from_on, view.vat_percent, view.vat_included, view.published_at, view.sheets) == (
        "Winter",
        date(2026, 12, 1),
        Decimal("5.25"),
        False,
        None,
        draft.sheets,
    )
    assert _events(session) == []


def test_a_draft_names_all_its_faults_at_once(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session)
    bands = (Band("night", 1, (Window(0, 60),)), Band("peak", 2, (Window(30, 90),)), Band("day", 3, (), True))
    draft = flat_draft(label=" ", vat_percent=Decimal(101), sheets=(RateSheet(None, None, -1, bands),))
    with pytest.raises(Rejected) as caught:
        operations.create_draft(session, tariff_id, draft)
    faults = {fault.field: fault.rule for fault in caught.value.faults}
    assert {"label", "vat_percent", "sheets.0.standing_per_day", "sheets.0.bands.1.windows"} <= set(faults)
    assert "night and peak both cover 00:30-01:00" in faults["sheets.0.bands.1.windows"]
    assert session.scalar(select(func.count()).select_from(TariffVersion)) == 0


def test_a_half_hourly_tariff_takes_a_standing_charge_and_refuses_bands(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, kind=TariffKind.HALF_HOURLY)
    assert operations.create_draft(session, tariff_id, series_draft()).sheets[0].bands == ()
    with pytest.raises(Rejected, match="half-hourly"):
        operations.create_draft(session, tariff_id, flat_draft())


def test_a_banded_tariff_refuses_a_sheet_without_bands(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session)
    with pytest.raises(Rejected, match="at least one rate band"):
        operations.create_draft(session, tariff_id, series_draft())


def test_an_edit_replaces_the_sheets_and_moves_the_version_even_if_only_sheets_differ(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session)
    first = operations.create_draft(session, tariff_id, flat_draft("28"))
    second = operations.edit_draft(session, tariff_id, first.id, flat_draft("29"))
    assert second.version > first.version
    session.expire_all()
    assert operations.get_version(session, tariff_id, first.id) == second
    assert second.sheets[0].bands[0].price_up == 29_000_000
    assert session.scalar(select(func.count()).select_from(StoredSheet)) == 1
    assert session.scalar(select(func.count()).select_from(RateBand)) == 1


def test_a_refused_edit_leaves_the_draft_as_it_was(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        tariff_id, _ = tariff_with(session)
        made = operations.create_draft(session, tariff_id, flat_draft("28"))
    with pytest.raises(Rejected), database.scheme(scheme, write=True) as session:
        operations.edit_draft(session, tariff_id, made.id, flat_draft("29", label=""))
    with database.scheme(scheme, write=False) as session:
        assert operations.get_version(session, tariff_id, made.id) == made


def test_a_deleted_draft_takes_its_sheets_and_bands_along(session: SchemeSession) -> None:
    tariff_id, [kept] = tariff_with(session, flat_draft())
    draft = operations.create_draft(session, tariff_id, night_draft(on=date(2027, 1, 1)))
    operations.delete_draft(session, tariff_id, draft.id)
    with pytest.raises(NotFound):
        operations.get_version(session, tariff_id, draft.id)
    assert session.scalars(select(StoredSheet.version_id)).all() == [kept]
    assert session.scalar(select(func.count()).select_from(RateBand)) == 1


def test_a_published_version_can_be_neither_edited_nor_deleted(session: SchemeSession) -> None:
    tariff_id, [version_id] = tariff_with(session, flat_draft(label="Spring"))
    for change in (
        lambda: operations.edit_draft(session, tariff_id, version_id, flat_draft("1")),
        lambda: operations.delete_draft(session, tariff_id, version_id),
    ):
        with pytest.raises(VersionFrozen, match="Spring was published on 2026-11-25"):
            change()
    assert operations.get_version(session, tariff_id, version_id).sheets == flat_draft().sheets


def test_publishing_keeps_who_and_when_and_announces_once_however_often_it_is_asked(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session)
    draft = operations.create_draft(session, tariff_id, flat_draft())
    first = operations.publish_version(session, tariff_id, draft.id, by="c" * 32, at=NOON)
    assert (first.published_at, first.published_by) == (NOON, "c" * 32)
    again = operations.publish_version(session, tariff_id, draft.id, by="d" * 32, at=NOON + timedelta(days=1))
    assert (again.id, again.published_at, again.published_by) == (draft.id, NOON, "c" * 32)
    assert _events(session) == [("TariffChanged", {"tariff_id": tariff_id, "version_id": draft.id})]


def test_a_publication_that_is_rolled_back_announces_nothing(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        tariff_id, _ = tariff_with(session)
        draft = operations.create_draft(session, tariff_id, flat_draft())
    with database.scheme_session(scheme, write=True) as session:
        operations.publish_version(session, tariff_id, draft.id, by=None, at=NOON)
        session.rollback()
    with database.scheme(scheme, write=False) as session:
        assert operations.get_version(session, tariff_id, draft.id).published_at is None
        assert _events(session) == []


def test_two_published_versions_cannot_start_on_one_day_and_the_other_is_named(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, flat_draft(label="Spring", on=date(2026, 4, 1)))
    draft = operations.create_draft(session, tariff_id, flat_draft("1", on=date(2026, 4, 1)))
    with pytest.raises(VersionStartTaken, match="Spring already starts on 2026-04-01"):
        operations.publish_version(session, tariff_id, draft.id, by=None, at=NOON)
    assert operations.get_version(session, tariff_id, draft.id).published_at is None
    assert len(_events(session)) == 1


def test_the_same_start_on_another_tariff_is_no_hindrance(session: SchemeSession) -> None:
    tariff_with(session, flat_draft(), name="Alder")
    _, [version_id] = tariff_with(session, flat_draft(), name="Rowan")
    assert operations.get_version_label(session, version_id) == "Rowan: From 2026-01-01"


def test_a_version_is_not_found_under_another_tariff(session: SchemeSession) -> None:
    _, [version_id] = tariff_with(session, flat_draft(), name="Alder")
    other_id, _ = tariff_with(session, name="Rowan")
    for ask in (
        lambda: operations.get_version(session, other_id, version_id),
        lambda: operations.publish_version(session, other_id, version_id, by=None, at=NOON),
        lambda: operations.delete_draft(session, other_id, version_id),
    ):
        with pytest.raises(NotFound):
            ask()


def test_publications_of_one_version_at_once_announce_it_once(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        tariff_id, _ = tariff_with(session)
        draft_id = operations.create_draft(session, tariff_id, flat_draft()).id

    def publish(_: int) -> None:
        with database.scheme(scheme, write=True) as session:
            operations.publish_version(session, tariff_id, draft_id, by=None, at=NOON)

    at_once(6, publish)
    with database.scheme(scheme, write=False) as session:
        assert _events(session) == [("TariffChanged", {"tariff_id": tariff_id, "version_id": draft_id})]


def test_of_drafts_of_one_start_published_at_once_one_is_let_through(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        tariff_id, _ = tariff_with(session)
        drafts = [operations.create_draft(session, tariff_id, flat_draft(label=f"Draft {n}")).id for n in range(4)]

    def publish(number: int) -> bool:
        try:
            with database.scheme(scheme, write=True) as session:
                operations.publish_version(session, tariff_id, drafts[number], by=None, at=NOON)
        except VersionStartTaken:
            return False
        return True

    assert sorted(at_once(4, publish)) == [False, False, False, True]
    with database.scheme(scheme, write=False) as session:
        assert session.scalar(select(func.count()).where(TariffVersion.published_at.is_not(None))) == 1
