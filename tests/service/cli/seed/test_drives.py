"""The demo's drive: drawn, with both ports known, and a place on its wall that reaches both cars."""

import json
import shutil
from pathlib import Path

import pytest
from sqlalchemy import delete, select

from service.advice.models import Drive
from service.advice.operations.drives import find_positions
from service.cli.seed import SeedError
from service.infrastructure.db.sessions import Database
from tests.factories.demo_homes import SEED, load


def test_the_drive_of_the_demo_has_a_place_that_reaches_both_cars(database: Database) -> None:
    scheme_id = load(database)
    with database.scheme(scheme_id, write=False) as session:
        (drive,) = session.scalars(select(Drive)).all()
        siting = find_positions(session, drive.household_id, drive.id).siting
    assert siting.best is not None
    assert (siting.cars, siting.best.cars_reached) == (2, 2)
    assert siting.best.run_m is not None


def test_a_drawing_that_somebody_deleted_stays_deleted(database: Database) -> None:
    scheme_id = load(database)
    with database.scheme(scheme_id, write=True) as session:
        session.execute(delete(Drive))
    load(database)
    with database.scheme(scheme_id, write=False) as session:
        assert session.scalars(select(Drive)).all() == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"home": "H-99"}, "no home H-99"),
        ({"ports": [{"car": "no such car", "port": "nose"}]}, "no car that is called no such car"),
        ({"ports": [{"car": "blue hatchback", "port": "roof"}]}, "port"),
        ({"drawing": {"walls": [{"start": [0, 0], "end": [0, 0]}]}}, "another point"),
        ({"drawing": {"moat": 1}}, "moat"),
    ],
)
def test_a_drive_that_cannot_be_is_refused(database: Database, tmp_path: Path, change: dict, words: str) -> None:
    folder = tmp_path / "seed"
    shutil.copytree(SEED, folder)
    found = json.loads((folder / "drives.json").read_text())
    found["drives"][0] |= change
    (folder / "drives.json").write_text(json.dumps(found))
    with pytest.raises(SeedError, match=words):
        load(database, folder=folder)
