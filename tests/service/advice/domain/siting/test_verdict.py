"""What is said of a drive, and what is left open."""

import pytest

from service.advice.domain.siting.search import CarAtHome
from service.advice.domain.siting.verdict import site_outlet
from tests.factories.drives import simple_drive

CAR = CarAtHome("1" * 32, "the car", "front_left", 5.0)


def test_the_best_position_comes_with_reach_both_ways_cautions_and_working() -> None:
    siting = site_outlet(simple_drive(), [CAR], [], "england")
    best = siting.best
    assert best is not None
    assert siting.summary == "From here the cable reaches the car one way round only."
    assert [(each.way, each.is_reached) for each in best.reaches] == [("nose_in", True), ("nose_out", False)]
    (nose_in, nose_out) = best.reaches
    assert nose_in.needed_m is not None and nose_in.needed_m <= 5.0 < (nose_out.needed_m or 99)
    assert nose_in.route[0] == pytest.approx(best.at, abs=0.01)
    assert any("IP44" in words for words in best.cautions)
    assert any("electrician" in words for words in siting.cautions)
    assert [step.what for step in siting.working.steps][-1] == "Notifiable work"
    assert {"Ranking", "Positions tried", "Voltage drop"} <= {step.what for step in siting.working.steps}


def test_a_longer_cable_reaches_both_ways_round() -> None:
    siting = site_outlet(simple_drive(), [CarAtHome("1" * 32, "the car", "front_left", 10.0)], [], "england")
    assert siting.summary == "From here the cable reaches the car, nose in and nose out."
    assert siting.others


def test_where_no_cable_is_long_enough_it_is_said_by_how_much() -> None:
    siting = site_outlet(simple_drive(), [CarAtHome("1" * 32, "the car", "tail", 3.0)], [], "england")
    assert siting.best is None
    assert siting.fixed_cables == ()
    assert "too short" in siting.summary or "No position" in siting.summary


def test_near_the_gas_meter_is_refused_and_shown() -> None:
    (front, *_) = site_outlet(simple_drive(), [CAR], [], "england").refused
    assert (front.wall, front.reason, front.from_m, front.to_m) == (0, "gas_meter", 6.5, 8.0)
    assert "assumed" in front.words


def test_a_footway_between_wall_and_car_is_never_crossed() -> None:
    between = [{"kind": "footway", "corners": [[0, 2.4], [12, 2.4], [12, 3.2], [0, 3.2]]}]
    front_only = simple_drive(areas=between, stretches=[{"wall": 0, "from_m": 0, "to_m": 8}])
    siting = site_outlet(front_only, [CarAtHome("1" * 32, "the car", "nose", 12)], [], "england")
    assert siting.best is None


def test_a_path_is_crossed_only_where_there_is_no_way_round_and_then_it_is_said() -> None:
    across = [{"kind": "path", "corners": [[0, 2.4], [12, 2.4], [12, 3.2], [0, 3.2]]}]
    siting = site_outlet(simple_drive(areas=across), [CarAtHome("1" * 32, "the car", "nose", 4.5)], [], "england")
    assert siting.best is not None
    assert siting.best.crossings == 1
    assert siting.best.reaches[0].passes == ("a path",)


def test_metalwork_within_arms_reach_is_flagged_with_its_distances() -> None:
    marks = [{"kind": "metalwork", "at": [6, 2.3]}, {"kind": "metalwork", "at": [0, 12]}]
    best = site_outlet(simple_drive(marks=marks), [CAR], [], "england").best
    assert best is not None
    flagged = [words for words in best.cautions if words.startswith("Metalwork")]
    assert len(flagged) == 1
    assert "2.5 m" in flagged[0] and "from memory" in flagged[0]


def test_what_is_missing_is_not_known() -> None:
    siting = site_outlet(simple_drive(consumer_unit=None), [], ["Where the port of the car is"], "scotland")
    assert siting.best is None
    assert siting.not_known[0] == "Where the port of the car is"
    assert any("consumer unit" in words for words in siting.not_known)
    assert siting.notifiable.standing == "not_known"


def test_without_a_consumer_unit_the_fixed_cable_is_not_known() -> None:
    siting = site_outlet(simple_drive(consumer_unit=None), [CAR], [], "england")
    assert siting.best is not None and siting.best.run_m is None
    assert {cable.is_within for cable in siting.fixed_cables} == {"not_known"}
