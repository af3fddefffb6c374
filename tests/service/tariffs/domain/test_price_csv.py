from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.common.money import format_pence
from service.common.slots import slot_index, slot_start
from service.tariffs.domain.price_csv import FAULTS_MAX, MissingPrices, parse_price_csv

HEADER = "starts_at,price_pence_per_kwh\n"
MIDNIGHT = slot_index(datetime(2026, 3, 29, tzinfo=UTC))


def faults_of(text):
    with pytest.raises(Rejected) as caught:
        parse_price_csv(text)
    return [(fault.field, fault.rule) for fault in caught.value.faults]


@pytest.mark.parametrize(
    "text",
    [
        HEADER + "2026-03-29T00:00:00Z,12.5\n2026-03-29T00:30:00Z,-3\n",
        "\ufeff" + HEADER + "2026-03-29T00:00:00Z,12.5\n2026-03-29T00:30:00Z,-3",
        HEADER.replace("\n", "\r\n") + "2026-03-29T00:00:00Z,12.5\r\n\r\n2026-03-29T00:30:00Z,-3\r\n",
        "price_pence_per_kwh, starts_at\n12.5,2026-03-29T00:00:00+00:00\n-3.000000, 2026-03-29t02:30:00+02:00 \n",
        HEADER + '"2026-03-29 00:00:00.000Z","12.5"\n2026-03-28T19:00:00-05:30,-3\n',
    ],
)
def test_the_same_prices_are_read_however_the_file_is_written(text):
    parsed = parse_price_csv(text)
    assert parsed.prices == {None: {MIDNIGHT: 12_500_000, MIDNIGHT + 1: -3_000_000}}
    assert parsed.missing == ()


def test_a_repeated_local_hour_is_two_half_hours_apart_by_offset():
    parsed = parse_price_csv(HEADER + "2026-10-25T01:00:00+01:00,1\n2026-10-25T01:00:00+00:00,2\n")
    first = slot_index(datetime(2026, 10, 25, tzinfo=UTC))
    assert parsed.prices == {None: {first: 1_000_000, first + 2: 2_000_000}}
    assert parsed.missing == (MissingPrices(None, first + 1, first + 2),)


def test_regions_are_read_apart_and_each_ones_missing_half_hours_are_named_in_the_range_of_all():
    rows = ["2026-03-29T00:00:00Z,1,north", "2026-03-29T02:00:00Z,2,north", "2026-03-29T00:30:00Z,3,"]
    parsed = parse_price_csv("starts_at,price_pence_per_kwh,region\n" + "\n".join(rows))
    assert parsed.prices == {
        "north": {MIDNIGHT: 1_000_000, MIDNIGHT + 4: 2_000_000},
        None: {MIDNIGHT + 1: 3_000_000},
    }
    assert [gap.words for gap in parsed.missing] == [
        "region north: no price from 2026-03-29T00:30Z to 2026-03-29T02:00Z (3 half-hours)",
        "no price from 2026-03-29T00:00Z to 2026-03-29T00:30Z (1 half-hour)",
        "no price from 2026-03-29T01:00Z to 2026-03-29T02:30Z (3 half-hours)",
    ]


@pytest.mark.parametrize(
    ("cells", "column", "word"),
    [
        ("2026-03-29T00:00:00,1", "starts_at", "RFC 3339"),
        ("2026-03-29T00:00Z,1", "starts_at", "RFC 3339"),
        ("29/03/2026 00:00,1", "starts_at", "RFC 3339"),
        ("20260329T000000Z,1", "starts_at", "RFC 3339"),
        ("2026-W13-7T00:00:00Z,1", "starts_at", "RFC 3339"),
        (",1", "starts_at", "RFC 3339"),
        ("2026-02-30T00:00:00Z,1", "starts_at", "exists"),
        ("2026-03-29T24:00:00Z,1", "starts_at", "exists"),
        ("2026-03-29T00:00:60Z,1", "starts_at", "exists"),
        ("2026-03-29T00:00:00+25:00,1", "starts_at", "exists"),
        ("1999-03-29T00:00:00Z,1", "starts_at", "years"),
        ("0001-01-01T00:00:00+14:00,1", "starts_at", "years"),
        ("2026-03-29T00:15:00Z,1", "starts_at", "whole half-hour"),
        ("2026-03-29T00:00:00+05:45,1", "starts_at", "whole half-hour"),
        ("2026-03-29T00:00:00.5Z,1", "starts_at", "whole half-hour"),
        ("2026-03-29T00:00:00.0000001Z,1", "starts_at", "whole half-hour"),
        ("2026-03-29T00:00:00Z,", "price_pence_per_kwh", "plain decimal"),
        ("2026-03-29T00:00:00Z,NaN", "price_pence_per_kwh", "plain decimal"),
        ("2026-03-29T00:00:00Z,1e3", "price_pence_per_kwh", "plain decimal"),
        ("2026-03-29T00:00:00Z,=1+1", "price_pence_per_kwh", "plain decimal"),
        ("2026-03-29T00:00:00Z,1.1234567", "price_pence_per_kwh", "six decimals"),
        ("2026-03-29T00:00:00Z,100001", "price_pence_per_kwh", "between"),
    ],
)
def test_a_bad_cell_is_named_by_row_column_and_line(cells, column, word):
    ((field, rule),) = faults_of(HEADER + "2026-03-28T00:00:00Z,1\n" + cells)
    assert field == f"rows.1.{column}"
    assert rule.startswith(f"line 3, {column}: ")
    assert word in rule


def test_every_bad_row_is_named_at_once():
    text = HEADER + "x,y\n2026-03-29T00:00:00Z,1\n2026-03-29T01:00:00+01:00,2\n2026-03-29T00:00:00Z\n\n1,2,3\n"
    assert [field for field, _ in faults_of(text)] == [
        "rows.0.starts_at",
        "rows.0.price_pence_per_kwh",
        "rows.2.starts_at",  # the same half-hour as row 1
        "rows.3",
        "rows.4",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n",
        "starts_at\n",
        "starts_at;price_pence_per_kwh\n",
        HEADER.upper(),
        HEADER.strip() + ",area\n",
        "starts_at,starts_at,price_pence_per_kwh\n",
        "2026-03-29T00:00:00Z,1\n",
    ],
)
def test_another_header_is_refused(text):
    ((field, rule),) = faults_of(text)
    assert field == "header"
    assert "starts_at,price_pence_per_kwh" in rule


def test_a_file_without_prices_is_refused():
    assert faults_of(HEADER) == [("rows", "must hold at least one price")]


def test_a_file_that_is_not_csv_is_refused_with_its_line():
    text = HEADER + '2026-03-29T00:00:00Z,bad\n2026-03-29T00:30:00Z,"1'
    assert [field for field, _ in faults_of(text)] == ["rows.0.price_pence_per_kwh", "rows"]


def test_reading_stops_when_a_file_is_hopeless():
    found = faults_of(HEADER + "x,1\n" * 10_000)
    assert len(found) == FAULTS_MAX + 1
    assert found[-1] == ("rows", f"reading stopped at line {FAULTS_MAX + 1} after {FAULTS_MAX} faults")


def test_a_region_name_has_a_bound():
    ((field, _),) = faults_of("starts_at,price_pence_per_kwh,region\n2026-03-29T00:00:00Z,1," + "n" * 61)
    assert field == "rows.0.region"


@given(
    st.dictionaries(
        st.sampled_from([None, "north", "south east"]),
        st.dictionaries(st.integers(MIDNIGHT, MIDNIGHT + 60), st.integers(-(10**9), 10**9), min_size=1),
        min_size=1,
    )
)
def test_written_prices_are_read_again_and_what_is_missing_fills_the_range(prices):
    rows = [
        f"{slot_start(slot).isoformat()},{format_pence(price_up)},{region or ''}"
        for region, by_slot in prices.items()
        for slot, price_up in by_slot.items()
    ]
    parsed = parse_price_csv("starts_at,price_pence_per_kwh,region\r\n" + "\r\n".join(rows))
    assert parsed.prices == prices
    covered = {slot for by_slot in prices.values() for slot in by_slot}
    for region, by_slot in prices.items():
        gaps = [slot for gap in parsed.missing if gap.region == region for slot in range(gap.first_slot, gap.end_slot)]
        assert sorted([*gaps, *by_slot]) == list(range(min(covered), max(covered) + 1))
