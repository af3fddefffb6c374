"""The demo's tariffs as loaded: prices below nothing, prices missing, a draft that moves the cheap hours."""

from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select

from service.cli.seed import SeedError
from service.cli.seed.tariffs import read_patterns
from service.common.money import parse_pence
from service.common.slots import slot_index
from service.households.models import Contract
from service.infrastructure.db.sessions import Database
from service.tariffs.models import HalfHourPrice, RateBand, Tariff, TariffVersion
from service.tariffs.operations import get_version, load_terms
from tests.factories.demo_homes import WEDNESDAY, load

# Check values of the trade and windows on sale: the demo's own must be none of them.
FORBIDDEN_UP = {parse_pence(text) for text in ("28", "28.35", "7.9", "30.7", "26.25")}
FORBIDDEN_WINDOWS = {(30, 330), (30, 270), (1410, 330)}


def test_half_hourly_prices_go_below_nothing_ahead_and_some_are_missing(database: Database) -> None:
    now = slot_index(WEDNESDAY)
    with database.scheme(load(database), write=False) as session:
        tariff_id = session.scalars(select(Tariff.id).where(Tariff.kind == "half_hourly")).one()
        market = load_terms(session, [tariff_id], first_slot=0, count=2**31 - 1)[tariff_id]
    for series in market.series.values():
        ahead = {slot: price for slot, price in series.items() if slot >= now}
        assert min(ahead.values()) < 0
        assert len(ahead) < max(ahead) - now + 1  # a gap within what was received
        assert max(ahead) < now + 7 * 48  # and the week's end not received at all
    assert set(market.series) == {"", "Saltmarsh"}


def test_the_draft_moves_the_cheap_hours_and_starts_tomorrow(database: Database) -> None:
    with database.scheme(load(database), write=False) as session:
        draft = session.scalars(select(TariffVersion).where(TariffVersion.published_at.is_(None))).one()
        found = load_terms(session, [draft.tariff_id], first_slot=0, count=1, with_draft=draft.id)[draft.tariff_id]
    night_before, night_after = (version.sheets[0].bands[0].windows[0] for version in found.versions[-2:])
    assert (night_before.starts_at_min, night_after.starts_at_min) == (60, 150)
    assert draft.valid_from_on == WEDNESDAY.date() + timedelta(days=1)


def test_no_demo_price_or_window_is_a_check_value_or_on_sale(database: Database) -> None:
    with database.scheme(load(database), write=False) as session:
        prices = set(session.scalars(select(RateBand.price_up))) | set(session.scalars(select(HalfHourPrice.price_up)))
        windows = {
            (window["starts_at_min"], window["ends_at_min"])
            for stored in session.scalars(select(RateBand.windows))
            for window in stored
        }
        for stored in session.scalars(select(Contract.windows)):
            windows |= {tuple(span) for spans in stored.values() for span in spans}
    assert len(prices) > 50
    assert not prices & FORBIDDEN_UP
    assert len(windows) > 8
    assert not windows & FORBIDDEN_WINDOWS


def test_stored_sheets_are_those_that_typing_them_in_would_store(database: Database) -> None:
    with database.scheme(load(database), write=False) as session:
        version = session.scalars(select(TariffVersion).where(TariffVersion.label == "Regional prices")).one()
        found = get_version(session, version.tariff_id, version.id)
    keys = [(sheet.region, sheet.payment) for sheet in found.sheets]
    assert keys == [
        ("Northmere", "direct debit"), ("Northmere", None), ("Saltmarsh", "prepayment"), ("Saltmarsh", None),
    ]
    assert [band.price_up for band in found.sheets[2].bands] == [parse_pence("14.3"), parse_pence("33.7")]
    assert not found.vat_included


@pytest.mark.parametrize(
    ("rows", "rule"),
    [
        (47, "then 48 half-hours"),
        (49, "then 48 half-hours"),
    ],
)
def test_a_pattern_file_has_a_row_for_each_half_hour(tmp_path: Path, rows: int, rule: str) -> None:
    lines = ["starts_at,calm", *(f"{row // 2:02d}:{row % 2 * 30:02d},11.4" for row in range(rows))]
    (tmp_path / "day.csv").write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(SeedError, match=rule):
        read_patterns(tmp_path, "day.csv")


@pytest.mark.parametrize(("cell", "found"), [("", None), ("-3.9", -3_900_000)])
def test_an_empty_cell_is_a_price_not_received(tmp_path: Path, cell: str, found: int | None) -> None:
    lines = ["starts_at,calm", *(f"{row // 2:02d}:{row % 2 * 30:02d},{cell}" for row in range(48))]
    (tmp_path / "day.csv").write_text("\n".join(lines), encoding="utf-8")
    assert read_patterns(tmp_path, "day.csv") == {"calm": [found] * 48}


def test_a_faulty_cell_is_named_by_line(tmp_path: Path) -> None:
    lines = ["starts_at,calm", *(f"{row // 2:02d}:{row % 2 * 30:02d},dear" for row in range(48))]
    (tmp_path / "day.csv").write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(SeedError, match="line 2: 'dear' must be a plain decimal"):
        read_patterns(tmp_path, "day.csv")
