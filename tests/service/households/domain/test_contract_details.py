"""Rules of contracts: periods that share no day, and a meter's own windows that leave one price."""

from datetime import date
from typing import Any

import pytest

from service.common.errors import Rejected
from service.households.domain.contract_details import (
    ContractDetails,
    MeterWindow,
    OtherContract,
    check_meter_windows,
    check_no_overlap,
    windows_of,
)
from service.tariffs.domain.rate_bands import Band, RateSheet, Window

TARIFF = "t" * 32
ENDED = OtherContract("Alder Fixed", date(2026, 1, 1), date(2026, 7, 1))
OPEN = OtherContract("Alder Fixed", date(2026, 1, 1), None)


def contract(**changes: Any) -> ContractDetails:
    """Return a contract from July 2026 on."""
    return ContractDetails(**{"tariff_id": TARIFF, "starts_on": date(2026, 7, 1), **changes})


def refused_faults(call: Any, *args: Any) -> list[tuple[str, str]]:
    """Return (field, rule) of what is refused."""
    with pytest.raises(Rejected) as refused:
        call(*args)
    return [(fault.field, fault.rule) for fault in refused.value.faults]


def test_a_contract_ends_after_it_starts() -> None:
    with pytest.raises(Rejected) as refused:
        contract(ends_on=date(2026, 7, 1))
    assert refused.value.faults[0].field == "ends_on"


def test_an_unknown_clock_is_refused() -> None:
    with pytest.raises(Rejected):
        contract(clock="bst")


def test_a_contract_may_start_on_the_day_another_ends() -> None:
    check_no_overlap(contract(), [ENDED])
    check_no_overlap(contract(starts_on=date(2025, 1, 1), ends_on=date(2026, 1, 1)), [ENDED])


def test_an_overlap_is_named_with_its_dates() -> None:
    faults = refused_faults(check_no_overlap, contract(starts_on=date(2026, 6, 30)), [ENDED])
    assert faults == [("starts_on", "overlaps the contract for Alder Fixed from 2026-01-01 until 2026-07-01")]


def test_an_overlap_with_an_open_contract_says_what_to_do() -> None:
    (field, rule), = refused_faults(check_no_overlap, contract(), [OPEN])
    assert (field, "give it one first" in rule) == ("starts_on", True)


def test_a_contract_that_runs_into_a_later_one_is_at_fault_at_its_end() -> None:
    (field, _), = refused_faults(check_no_overlap, contract(starts_on=date(2025, 7, 1)), [ENDED])
    assert field == "ends_on"


NIGHT = Band("night", 9_000_000, (Window(30, 330),))
DAY = Band("day", 31_000_000, (), True)
PEAK = Band("peak", 45_000_000, (Window(960, 1140),))


def with_windows(*windows: tuple[str, int, int]) -> ContractDetails:
    """Return a contract whose meter switches at these times."""
    return contract(windows=tuple(MeterWindow(*window) for window in windows))


def test_own_windows_may_cross_midnight_and_be_several() -> None:
    check_meter_windows(
        with_windows(("night", 1380, 120), ("night", 240, 480)), [RateSheet(None, None, 0, (NIGHT, PEAK, DAY))]
    )


def test_own_windows_that_meet_another_band_are_named() -> None:
    faults = refused_faults(
        check_meter_windows, with_windows(("night", 900, 1020)), [RateSheet(None, None, 0, (NIGHT, PEAK, DAY))] * 2
    )
    assert len(faults) == 1
    assert faults[0][0] == "windows"
    assert "night" in faults[0][1]
    assert "peak" in faults[0][1]


def test_own_windows_of_a_band_the_tariff_lacks_are_refused() -> None:
    (field, rule), = refused_faults(
        check_meter_windows, with_windows(("dawn", 240, 480)), [RateSheet(None, None, 0, (NIGHT, DAY))]
    )
    assert (field, "dawn" in rule) == ("windows", True)


def test_a_window_that_is_no_whole_half_hours_is_refused() -> None:
    with pytest.raises(Rejected) as refused:
        MeterWindow("night", 15, 330)
    assert refused.value.faults[0].field == "starts_at"


def test_windows_are_stored_by_band_and_read_back() -> None:
    details = with_windows(("night", 0, 150), ("night", 270, 480), ("peak", 960, 1140))
    assert details.stored_windows() == {"night": [[0, 150], [270, 480]], "peak": [[960, 1140]]}
    assert windows_of(details.stored_windows()) == details.windows
