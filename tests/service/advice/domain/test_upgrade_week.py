"""A planned week's figures are those of the planner's own comparison, and survive being stored."""

from __future__ import annotations

import json

from service.advice.domain.upgrade_week import WeekFigures, week_figures
from service.common.money import round_half_up
from service.planning.domain.side_by_side import side_by_side
from service.planning.domain.what_if import Changes, OtherOutlet
from tests.factories.comparable_homes import CAR, SOCKET, changed_week, home, week

POINT = Changes(outlet=OtherOutlet(SOCKET.id, "charging_point", 32, 1, "schedule"))


def test_both_weeks_come_to_what_the_side_by_side_says() -> None:
    of = home(CAR)
    now, changed = week(of), changed_week(of, POINT)
    sides = side_by_side(now, changed)
    for figures, side in ((week_figures(now), sides.now), (week_figures(changed, like=now), sides.changed)):
        assert round_half_up(figures.cost_np, 1000) == side.cost_up
        assert (figures.wall_wh, figures.short_wh, figures.night_count) == (
            side.energy_wh, side.short_wh, side.night_count
        )
        assert figures.battery_wh <= figures.wall_wh


def test_a_charging_point_loses_less_on_the_way_into_the_battery() -> None:
    of = home(CAR)
    now = week_figures(week(of))
    point = week_figures(changed_week(of, POINT), like=week(of))
    assert now.battery_wh / now.wall_wh < point.battery_wh / point.wall_wh


def test_figures_are_stored_and_read_back_whole() -> None:
    figures = week_figures(week(home(CAR)))
    assert WeekFigures.from_json(json.loads(json.dumps(figures.to_json()))) == figures
