"""Seed files that break a rule are refused by file and place, before anything is written; dates are relative."""

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.cli.seed import SeedError
from service.cli.seed.files import WEEKDAYS, Moment, Node
from service.infrastructure.db.sessions import Database
from tests.factories.demo_homes import SEED, WEDNESDAY, contents, load

LONDON = ZoneInfo("Europe/London")
HOME = "homes/h-02-blocks-move.json"
WINDOW = {"starts_at": "01:00", "ends_at": "02:00"}
NIGHT = "versions.0.sheets.0.bands.0"
FAULTS: list[tuple[str, str, Any, str, str]] = [
    # file, value to replace, by what; place that the message names, words of the rule
    (HOME, "cars.0.ceiling_percent", 120, "cars.0.ceiling_percent", "50 and 100 %"),
    (HOME, "cars.0.battery_kwh", 52, "cars.0.battery_kwh", "plain number as text"),
    (HOME, "cars.0.outlet", "attic", "cars.0.outlet", "does not have"),
    (HOME, "cars.0.other_outlets", ["attic"], "cars.0.other_outlets.0", "does not have"),
    (HOME, "cars.0.diary", [{"mon": "12"}], "cars.0.diary.0", "lacks tue"),
    (HOME, "cars.0.diary", [dict.fromkeys(WEEKDAYS, "1600")], "cars.0.diary.0.miles", "1500"),
    (HOME, "habits", {"swap_times": ["19:00", "18:00"]}, "habits.swap_times", "must rise"),
    (HOME, "habits", {"swap_times": ["7 pm"]}, "habits.swap_times.0", "wall time"),
    (HOME, "outlets.0.control", "magic", "outlets.0.control", "timer"),
    (HOME, "colour", "red", "the whole file", "has no place for colour"),
    (HOME, "cars.0.routine.0", {"days": ["mon"]}, "cars.0.routine.0", "lacks leaves_at"),
    (HOME, "cars.0.routine.0.days", ["monday"], "cars.0.routine.0.days", "mon, tue"),
    (HOME, "zone", "Asia/Kathmandu", "zone", "half-hours"),
    (HOME, "contracts.0.tariff", "None such", "contracts.0.tariff", "tariffs/"),
    (HOME, "contracts.0.windows", {"dusk": [WINDOW]}, "contracts.0.windows", "'dusk' is not a band"),
    (HOME, "inspections.0.inspected_on", "+1d", "inspections.0.inspected_on", "future"),
    (HOME, "inspections.0.inspected_on", "2026", "inspections.0.inspected_on", "days from today"),
    (HOME, "inspections.0.outlet", "attic", "inspections.0.outlet", "label of an outlet"),
    (HOME, "members.0.email", "a@real.com", "members.0.email", ".example"),
    (HOME, "members", [], "members", "at least one person"),
    ("homes/h-04-overdue-lead-recheck.json", "rechecks.0.item", "hose", "rechecks.0.item", "label of a lead"),
    ("homes/h-24-long-weekend.json", "cars.0.journeys.0.leaves_at", "soon", "cars.0.journeys.0.leaves_at", "friday"),
    ("tariffs/night-saver.json", f"{NIGHT}.price_pence_per_kwh", "1e1", f"{NIGHT}.price_pence_per_kwh", "decimal"),
    ("tariffs/night-saver.json", f"{NIGHT}.windows.0.starts_at", "01:10", f"{NIGHT}.windows.0.starts_at", "half-hour"),
    ("tariffs/night-saver.json", "versions.0.published_on", "+1d", "versions.0.published_on", "ahead"),
    ("tariffs/half-hour-market.json", "prices.0.patterns_by_week", ["storm"], "prices.0.patterns_by_week", "'storm'"),
    ("scheme.json", "sign_ins.0.email", "nobody@marlpit.example", "sign_ins", "no account"),
    ("scheme.json", "finance.0.email", "a@real.com", "finance.0.email", ".example"),
    ("scheme.json", "demo_password", "short", "password", "15"),
]


@pytest.mark.parametrize(("file", "path", "value", "place", "rule"), FAULTS)
def test_a_faulty_file_is_refused_by_file_and_place_before_anything_is_written(
    database: Database, tmp_path: Path, file: str, path: str, value: Any, place: str, rule: str
) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    _replace(folder / file, path, value)
    with pytest.raises(SeedError) as refused:
        load(database, folder=folder)
    message = str(refused.value)
    assert message.startswith(f"{file}: {place} ")
    assert rule in message
    assert not any(contents(database).values())


def _replace(file: Path, path: str, value: Any) -> None:
    root = json.loads(file.read_text(encoding="utf-8"))
    *steps, last = (int(step) if step.isdigit() else step for step in path.split("."))
    parent = root
    for step in steps:
        parent = parent[step]
    parent[last] = value
    file.write_text(json.dumps(root), encoding="utf-8")


def test_a_file_that_is_not_json_or_says_a_name_twice_is_refused(database: Database, tmp_path: Path) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    for text in ("{", '{"name": "a", "name": "b"}'):
        (folder / "scheme.json").write_text(text, encoding="utf-8")
        with pytest.raises(SeedError, match=r"scheme\.json: is not JSON"):
            load(database, folder=folder)


def test_two_homes_of_one_reference_are_refused(database: Database, tmp_path: Path) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    shutil.copy(folder / "homes" / "h-02-blocks-move.json", folder / "homes" / "h-99.json")
    with pytest.raises(SeedError, match="more than one is named H-02"):
        load(database, folder=folder)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("-3h", datetime(2026, 11, 25, 9, 3, 4, tzinfo=UTC)),
        ("+2d 06:40", datetime(2026, 11, 27, 6, 40, tzinfo=UTC)),
        ("friday 15:30", datetime(2026, 11, 27, 15, 30, tzinfo=UTC)),
        ("wednesday 12:00", datetime(2026, 12, 2, 12, 0, tzinfo=UTC)),
        ("wednesday 12:30", datetime(2026, 11, 25, 12, 30, tzinfo=UTC)),
    ],
)
def test_instants_count_from_loading_and_a_weekday_is_the_next_one(text: str, expected: datetime) -> None:
    node = Node("home.json", "", {"leaves_at": text})
    assert node.instant("leaves_at", Moment(WEDNESDAY, LONDON), LONDON) == expected
