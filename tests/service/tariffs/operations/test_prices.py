"""Uploads write what differs, say over which half-hours, and refuse a faulty file whole."""

import random
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import func, select

from service.common.errors import NotFound, Rejected
from service.common.slots import slot_index
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.outbox import Event
from service.tariffs import operations
from service.tariffs.domain.terms import TariffKind
from service.tariffs.models import HalfHourPrice
from service.tariffs.operations.prices import LONGEST_LIST_SLOTS, NotHalfHourly
from tests.factories.tariffs import NOON, flat_draft, price_csv, series_draft, tariff_with
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

FIRST_AT = datetime(2026, 11, 26, tzinfo=UTC)
FIRST = slot_index(FIRST_AT)


@pytest.fixture
def tariff_id(session: SchemeSession) -> str:
    """A half-hourly tariff."""
    return tariff_with(session, series_draft(), kind=TariffKind.HALF_HOURLY)[0]


def _stored(session: SchemeSession) -> dict[tuple[str, int], int]:
    session.expire_all()
    rows = session.execute(select(HalfHourPrice.region, HalfHourPrice.slot, HalfHourPrice.price_up))
    return {(region, slot - FIRST): price_up for region, slot, price_up in rows}


def _arrived(session: SchemeSession) -> list[tuple[int, int]]:
    """Return the announced ranges, counted from the first half-hour."""
    events = session.scalars(select(Event).where(Event.name == "PricesArrived").order_by(Event.happened_at)).all()
    return [(event.payload["first_slot"] - FIRST, event.payload["last_slot"] - FIRST) for event in events]


def test_a_first_upload_stores_every_price_negative_ones_too(session: SchemeSession, tariff_id: str) -> None:
    done = operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["11.4", "-0.75", "0"]), at=NOON)
    assert (done.stored_count, done.changed_count, done.missing) == (3, 3, ())
    assert _stored(session) == {("", 0): 11_400_000, ("", 1): -750_000, ("", 2): 0}
    assert _arrived(session) == [(0, 2)]


def test_the_same_upload_again_changes_and_announces_nothing(session: SchemeSession, tariff_id: str) -> None:
    text = price_csv(FIRST_AT, ["11.4", "12"])
    operations.upload_prices(session, tariff_id, text, at=NOON)
    done = operations.upload_prices(session, tariff_id, text, at=NOON + timedelta(hours=1))
    assert (done.stored_count, done.changed_count) == (2, 0)
    assert _arrived(session) == [(0, 1)]


def test_only_what_differs_is_written_and_announced(session: SchemeSession, tariff_id: str) -> None:
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1", "2", "3", "4"]), at=NOON)
    later = NOON + timedelta(hours=1)
    text = price_csv(FIRST_AT + timedelta(minutes=30), ["2", "3.5", "4", "5"])
    assert operations.upload_prices(session, tariff_id, text, at=later).changed_count == 2
    assert [_stored(session)["", at] for at in range(5)] == [1_000_000, 2_000_000, 3_500_000, 4_000_000, 5_000_000]
    assert _arrived(session) == [(0, 3), (2, 4)]


def test_regions_keep_their_own_prices(session: SchemeSession, tariff_id: str) -> None:
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1"], region="north"), at=NOON)
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["2"], region="south"), at=NOON)
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["3"]), at=NOON)
    assert _stored(session) == {("north", 0): 1_000_000, ("south", 0): 2_000_000, ("", 0): 3_000_000}


def test_half_hours_without_a_price_inside_the_file_are_named(session: SchemeSession, tariff_id: str) -> None:
    text = price_csv(FIRST_AT, ["1"]) + price_csv(FIRST_AT + timedelta(hours=2), ["5"]).split("\n", 1)[1]
    [gap] = operations.upload_prices(session, tariff_id, text, at=NOON).missing
    assert (gap.region, gap.first_slot - FIRST, gap.end_slot - FIRST) == (None, 1, 4)


def test_a_faulty_row_is_named_and_nothing_is_stored(session: SchemeSession, tariff_id: str) -> None:
    text = price_csv(FIRST_AT, ["1", "1e3", "2"])
    with pytest.raises(Rejected) as caught:
        operations.upload_prices(session, tariff_id, text, at=NOON)
    [fault] = caught.value.faults
    assert fault.field == "rows.1.price_pence_per_kwh"
    assert "line 3" in fault.rule
    assert _stored(session) == {}


@pytest.mark.parametrize("region", ["x" * 41, "nor\x07th"])
def test_a_region_that_cannot_be_kept_is_refused_by_name(session: SchemeSession, tariff_id: str, region: str) -> None:
    with pytest.raises(Rejected, match="region"):
        operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1"], region=region), at=NOON)


def test_a_tariff_with_rate_bands_refuses_prices_per_half_hour(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, flat_draft())
    with pytest.raises(NotHalfHourly):
        operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1"]), at=NOON)


@pytest.mark.one_database("sqlite")  # it is about the time that one file takes
def test_a_year_of_half_hours_is_stored_and_altered(
    session: SchemeSession, tariff_id: str, record_property: Callable[[str, object], None]
) -> None:
    seed = 20261125
    chance = random.Random(seed)
    print(f"seed {seed}")
    prices = [f"{chance.randint(-50, 400) / 10}" for _ in range(20_000)]
    started = time.perf_counter()
    assert operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, prices), at=NOON).changed_count == 20_000
    record_property("first_upload_s", round(time.perf_counter() - started, 2))
    altered = dict.fromkeys(chance.sample(range(20_000), 500), "77.7")
    second = [altered.get(position, price) for position, price in enumerate(prices)]
    done = operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, second), at=NOON + timedelta(hours=1))
    assert done.changed_count == 500
    assert _arrived(session) == [(0, 19_999), (min(altered), max(altered))]
    assert session.scalar(select(func.count()).select_from(HalfHourPrice)) == 20_000


def test_a_period_is_listed_half_open_for_one_region(session: SchemeSession, tariff_id: str) -> None:
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1", "2", "3"]), at=NOON)
    operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["9"], region="north"), at=NOON)
    ends_at = FIRST_AT + timedelta(hours=1)
    listed = operations.list_prices(session, tariff_id, starts_at=FIRST_AT, ends_at=ends_at, region=None)
    assert [(point.starts_at, point.price_up) for point in listed] == [
        (FIRST_AT, 1_000_000),
        (FIRST_AT + timedelta(minutes=30), 2_000_000),
    ]
    north = operations.list_prices(session, tariff_id, starts_at=FIRST_AT, ends_at=ends_at, region="north")
    assert [point.price_up for point in north] == [9_000_000]


@pytest.mark.parametrize("length", [timedelta(minutes=29), timedelta(0), timedelta(days=-1)])
def test_an_empty_period_is_refused(session: SchemeSession, tariff_id: str, length: timedelta) -> None:
    with pytest.raises(Rejected, match="half-hour"):
        operations.list_prices(session, tariff_id, starts_at=FIRST_AT, ends_at=FIRST_AT + length, region=None)


def test_the_longest_period_is_listed_and_a_longer_one_refused(session: SchemeSession, tariff_id: str) -> None:
    longest = timedelta(minutes=30 * LONGEST_LIST_SLOTS)
    assert operations.list_prices(session, tariff_id, starts_at=FIRST_AT, ends_at=FIRST_AT + longest, region=None) == []
    ends_at = FIRST_AT + longest + timedelta(minutes=30)
    with pytest.raises(Rejected, match="62 days"):
        operations.list_prices(session, tariff_id, starts_at=FIRST_AT, ends_at=ends_at, region=None)


def test_prices_of_an_unknown_tariff_are_not_found(session: SchemeSession) -> None:
    with pytest.raises(NotFound):
        operations.list_prices(
            session, "0" * 32, starts_at=FIRST_AT, ends_at=FIRST_AT + timedelta(hours=1), region=None
        )


def test_uploads_of_one_file_at_once_store_and_announce_it_once(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        tariff_id, _ = tariff_with(session, series_draft(), kind=TariffKind.HALF_HOURLY)

    def upload(_: int) -> int:
        with database.scheme(scheme, write=True) as session:
            return operations.upload_prices(session, tariff_id, price_csv(FIRST_AT, ["1", "2"]), at=NOON).changed_count

    assert sorted(at_once(4, upload)) == [0, 0, 0, 2]
    with database.scheme(scheme, write=False) as session:
        assert _arrived(session) == [(0, 1)]
