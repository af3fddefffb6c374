"""Appliances as a household states them."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.advice.domain.appliances import (
    APPLIANCES_MAX,
    USUAL_AWAKE,
    Appliance,
    HomeAppliances,
    run_of,
)
from service.common.errors import Rejected
from service.figures.domain.book import Figure, FigureBook, FigureNotKnown
from service.figures.domain.shipped import shipped_figures

TODAY = date(2026, 11, 25)
BOOK = FigureBook(shipped_figures())


def appliance(**changes: Any) -> Appliance:
    return Appliance(**{"kind": "dishwasher", "runs_a_week": 5, **changes})


@pytest.mark.parametrize(
    ("changes", "fields"),
    [
        ({"kind": "kettle"}, ["kind"]),
        ({"runs_a_week": 0}, ["runs_a_week"]),
        ({"runs_a_week": 51}, ["runs_a_week"]),
        ({"run_wh": 9}, ["run_kwh"]),
        ({"power_w": 7_401}, ["power_w"]),
        ({"run_min": 29}, ["run_minutes"]),
        ({"run_min": 721}, ["run_minutes"]),
        ({"starts_min": 1440}, ["usual_start"]),
        ({"label": "x" * 61}, ["label"]),
        ({"kind": "own"}, ["label", "run_kwh", "power_w", "run_minutes"]),
        ({"run_wh": 1_001, "power_w": 1_000, "run_min": 60}, ["run_kwh"]),
    ],
)
def test_an_appliance_that_cannot_be_is_refused_by_every_field(changes: dict[str, Any], fields: list[str]) -> None:
    with pytest.raises(Rejected) as refused:
        appliance(**changes)
    assert [fault.field for fault in refused.value.faults] == fields


def test_all_that_its_power_gives_in_its_time_may_be_taken() -> None:
    assert appliance(run_wh=1_000, power_w=1_000, run_min=60).run_wh == 1_000


@pytest.mark.parametrize(
    ("awake", "fields"),
    [
        ((), ["awake"]),
        (((0, 10),) * 5, ["awake", "awake.1.from", "awake.2.from", "awake.3.from", "awake.4.from"]),
        (((600, 600),), ["awake.0.until"]),
        (((600, 1441),), ["awake.0.until"]),
        (((600, 700), (690, 800)), ["awake.1.from"]),
    ],
)
def test_hours_awake_that_cannot_be_are_refused(awake: tuple[tuple[int, int], ...], fields: list[str]) -> None:
    with pytest.raises(Rejected) as refused:
        HomeAppliances((), awake)
    assert [fault.field for fault in refused.value.faults] == fields


def test_a_home_has_some_appliances_at_most() -> None:
    HomeAppliances((appliance(),) * APPLIANCES_MAX)
    with pytest.raises(Rejected):
        HomeAppliances((appliance(),) * (APPLIANCES_MAX + 1))


def test_a_half_hour_counts_as_awake_only_if_all_of_it_is() -> None:
    awake = HomeAppliances((), ((400, 480), (1380, 1440))).awake_half_hours()
    assert [place for place, is_awake in enumerate(awake) if is_awake] == [14, 15, 46, 47]
    usual = HomeAppliances().awake_half_hours()
    assert (USUAL_AWAKE, usual.index(True), sum(usual)) == (((390, 1380),), 13, 33)


def test_figures_that_nobody_states_come_from_the_book_or_are_named_as_assumed() -> None:
    run = run_of(appliance(), BOOK, TODAY)
    assert (run.run_wh, run.power_w, run.half_hours, run.starts_at, run.label) == (1_000, 2_000, 5, 38, "Dishwasher")
    assert all("assumed" in source for _, _, source in run.figures)
    own = run_of(appliance(run_wh=900, power_w=1_800, run_min=90, starts_min=1290, label="The old one"), BOOK, TODAY)
    assert (own.run_wh, own.power_w, own.half_hours, own.starts_at, own.label) == (900, 1_800, 3, 43, "The old one")
    assert {source for _, _, source in own.figures} == {"as the household states it"}


def test_a_run_takes_as_long_as_its_power_needs_for_its_energy() -> None:
    assert run_of(appliance(run_wh=9_000, power_w=2_000), BOOK, TODAY).half_hours == 9


def test_a_figure_that_the_book_lacks_is_not_guessed() -> None:
    empty = FigureBook([])
    with pytest.raises(FigureNotKnown):
        run_of(appliance(), empty, TODAY)
    figure = Figure("appliance_run_kwh", "dishwasher", TODAY, None, Decimal(1), "kWh per run", "operator", "a test")
    with pytest.raises(FigureNotKnown):
        run_of(appliance(), FigureBook([figure]), TODAY)


@given(run_wh=st.integers(10, 30_000), power_w=st.integers(100, 7_400), run_min=st.integers(30, 720))
def test_energy_is_spread_over_the_half_hours_and_adds_up(run_wh: int, power_w: int, run_min: int) -> None:
    if run_wh * 60 > power_w * run_min:
        return
    run = run_of(appliance(run_wh=run_wh, power_w=power_w, run_min=run_min), BOOK, TODAY)
    assert run.run_wh == run_wh
    assert max(run.half_hours_wh) - min(run.half_hours_wh) <= 1
    assert run.half_hours * 30 >= run_min
