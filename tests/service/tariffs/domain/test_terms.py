from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.tariffs.domain.terms import Contract, Series, Version, check_versions


def version(valid_from_on=date(2026, 1, 1), vat_percent="5", *, vat_included=True):
    return Version(valid_from_on, (), vat_included, Decimal(vat_percent))


@pytest.mark.parametrize(
    ("percent", "included", "to_add"),
    [("5", False, 500), ("5", True, 0), ("20", False, 2000), ("12.75", False, 1275), ("0", False, 0)],
)
def test_vat_is_added_only_where_it_is_not_included(percent, included, to_add):
    assert version(vat_percent=percent, vat_included=included).vat_to_add == to_add


@pytest.mark.parametrize("percent", ["-0.01", "100.01", "5.005", "NaN", "Infinity"])
def test_other_vat_percentages_are_refused(percent):
    with pytest.raises(Rejected) as caught:
        version(vat_percent=percent)
    assert caught.value.faults[0].field == "vat_percent"


def test_two_versions_from_one_day_are_refused():
    check_versions([version(date(2026, 1, 1)), version(date(2026, 4, 1))])
    with pytest.raises(Rejected) as caught:
        check_versions([version(date(2026, 1, 1)), version(date(2026, 4, 1)), version(date(2026, 1, 1))])
    assert [fault.field for fault in caught.value.faults] == ["versions.2.valid_from_on"]


@pytest.mark.parametrize("ends_on", [date(2026, 1, 1), date(2025, 12, 31)])
def test_a_contract_ends_after_it_starts(ends_on):
    with pytest.raises(Rejected) as caught:
        Contract(date(2026, 1, 1), ends_on)
    assert caught.value.faults[0].field == "ends_on"


def test_a_band_without_windows_is_refused_as_a_meter_setting():
    with pytest.raises(Rejected) as caught:
        Contract(date(2026, 1, 1), windows={"night": ()})
    assert caught.value.faults[0].field == "windows.night"


@given(st.dictionaries(st.integers(0, 10**6), st.integers(-(10**11), 10**11)))
def test_a_series_reads_like_the_mapping_it_was_made_from(prices):
    series = Series(prices)
    assert dict(series) == prices
    assert list(series) == sorted(prices)
    assert len(series) == len(prices)
    assert all(slot not in series for slot in (-1, 10**6 + 1, *(one + 1 for one in prices if one + 1 not in prices)))


def test_a_series_equals_only_itself_and_cannot_be_changed():
    series = Series({1: 2})
    assert series == series
    assert series != Series({1: 2})
    with pytest.raises(ValueError, match="read-only"):
        series.price_up[0] = 3
