"""What planning is given: published versions in order, a draft where asked for, and shared price series."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from service.common.calendar import Nation
from service.common.slots import slot_index
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs import operations
from service.tariffs.domain.prices import price_slots
from service.tariffs.domain.terms import Contract, TariffClock, TariffKind, TariffTerms
from tests.factories.tariffs import (
    NOON,
    counted_statements,
    flat_draft,
    night_draft,
    price_csv,
    series_draft,
    tariff_with,
)

FIRST_AT = datetime(2026, 12, 1, tzinfo=UTC)
FIRST = slot_index(FIRST_AT)
LONDON = ZoneInfo("Europe/London")


def _prices(terms: TariffTerms, *, region: str | None = None, count: int = 48) -> list[int | None]:
    """Price the view as planning does; None where the price is not known."""
    found = price_slots(
        kind=terms.kind,
        clock=terms.clock,
        versions=terms.versions,
        series=terms.series.get(region or "", terms.series.get("")),
        contract=Contract(starts_on=date(2026, 1, 1), region=region),
        first_slot=FIRST,
        count=count,
        zone=LONDON,
        nation=Nation.ENGLAND,
    )
    return [int(price) if known else None for price, known in zip(found.price_up, found.is_known, strict=True)]


def test_published_versions_price_the_view_and_drafts_do_not(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, flat_draft("20"), flat_draft("30", on=date(2026, 12, 2)))
    operations.create_draft(session, tariff_id, flat_draft("99", on=date(2026, 11, 1)))
    terms = operations.load_terms(session, [tariff_id], first_slot=FIRST, count=96)[tariff_id]
    assert (terms.id, terms.name, terms.kind, terms.clock) == (
        tariff_id,
        "Alder Fixed",
        TariffKind.BANDED,
        TariffClock.LOCAL,
    )
    assert _prices(terms, count=96) == [20_000_000] * 48 + [30_000_000] * 48


def test_a_draft_asked_for_counts_as_published_even_on_a_taken_day(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, flat_draft("20", on=date(2026, 11, 1)))
    draft = operations.create_draft(session, tariff_id, night_draft("5", "40", window=(0, 60), on=date(2026, 11, 1)))
    with_draft = operations.load_terms(session, [tariff_id], first_slot=FIRST, count=48, with_draft=draft.id)
    assert _prices(with_draft[tariff_id]) == [5_000_000] * 2 + [40_000_000] * 46
    without = operations.load_terms(session, [tariff_id], first_slot=FIRST, count=48)
    assert _prices(without[tariff_id]) == [20_000_000] * 48


def test_several_tariffs_come_together_and_unknown_ones_are_left_out(session: SchemeSession) -> None:
    banded, _ = tariff_with(session, flat_draft(), name="Alder")
    dynamic, _ = tariff_with(session, series_draft(), name="Rowan", kind=TariffKind.HALF_HOURLY)
    terms = operations.load_terms(session, [dynamic, banded, "0" * 32, banded], first_slot=FIRST, count=48)
    assert {tariff_id: found.kind for tariff_id, found in terms.items()} == {
        banded: TariffKind.BANDED,
        dynamic: TariffKind.HALF_HOURLY,
    }


def test_a_series_holds_the_asked_half_hours_by_region(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, series_draft(), kind=TariffKind.HALF_HOURLY)
    early = FIRST_AT - timedelta(minutes=30)
    operations.upload_prices(session, tariff_id, price_csv(early, ["1", "2", "-3", "4"]), at=NOON)
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["7"], region="north"), at=NOON)
    terms = operations.load_terms(session, [tariff_id], first_slot=FIRST, count=2)[tariff_id]
    assert {region: dict(series) for region, series in terms.series.items()} == {
        "": {FIRST: 2_000_000, FIRST + 1: -3_000_000},
        "north": {FIRST: 7_000_000},
    }
    assert _prices(terms, count=3) == [2_000_000, -3_000_000, None]
    assert _prices(terms, region="north", count=2) == [7_000_000, None]


def test_equal_series_are_one_object_so_that_worked_out_prices_are_found_again(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, series_draft(), kind=TariffKind.HALF_HOURLY)
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1", "2"]), at=NOON)

    def series() -> object:
        return operations.load_terms(session, [tariff_id], first_slot=FIRST, count=2)[tariff_id].series[""]

    first = series()
    assert series() is first
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1", "2.5"]), at=NOON)
    assert series() is not first


def test_terms_of_many_tariffs_take_a_fixed_number_of_statements(session: SchemeSession) -> None:
    ids = [
        tariff_with(session, series_draft(), name=f"Rowan {position}", kind=TariffKind.HALF_HOURLY)[0]
        for position in range(12)
    ]
    with counted_statements(session) as statements:
        operations.load_terms(session, ids, first_slot=FIRST, count=48)
    assert len(statements) == 5
