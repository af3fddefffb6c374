"""What cars of the demo were charged with: checked like anybody's records, stored once, and no plan's business."""

from __future__ import annotations

import json
import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, select

from service.cli.seed import SeedError
from service.households.models import ChargingRecord, Household
from service.infrastructure.db.sessions import Database
from tests.factories.demo_homes import SEED, WEDNESDAY, load


def test_three_homes_have_records_that_are_over_and_a_later_loading_adds_none(database: Database) -> None:
    scheme_id = load(database)
    load(database, now=WEDNESDAY + timedelta(days=10))
    with database.scheme(scheme_id, write=False) as session:
        of_home = (ChargingRecord.household_id == Household.id) & (ChargingRecord.scheme_id == Household.scheme_id)
        counts = dict(
            session.execute(
                select(Household.reference, func.count()).join(ChargingRecord, of_home).group_by(Household.reference)
            ).all()  # type: ignore[arg-type]
        )
        assert sorted(counts) == ["H-21", "H-22", "H-27"]
        assert min(counts.values()) > 10
        assert session.scalar(select(func.max(ChargingRecord.ends_at))) < WEDNESDAY
        places = set(session.scalars(select(ChargingRecord.place)))
        assert places == {"home", "public", "work"}


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("kwh", "99", "is more than the outlet could give"),
        ("ends_at", "-30d 00:00", "must be after the start"),
        ("place", "garage", "must be one of: home, public, work"),
        ("paid_pence", 100, "must be empty at home"),
    ],
)
def test_a_charge_that_cannot_have_been_is_refused(
    database: Database, tmp_path: Path, name: str, value: object, words: str
) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    found = json.loads((folder / "charged.json").read_text())
    found["homes"][0]["charges"][0][name] = value
    (folder / "charged.json").write_text(json.dumps(found))
    with pytest.raises(SeedError, match=words):
        load(database, folder=folder)


@pytest.mark.parametrize(("name", "words"), [("reference", "is no home"), ("car", "a car or an outlet")])
def test_a_home_or_car_that_is_not_there_is_refused(
    database: Database, tmp_path: Path, name: str, words: str
) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    found = json.loads((folder / "charged.json").read_text())
    found["homes"][0][name] = "nowhere"
    (folder / "charged.json").write_text(json.dumps(found))
    with pytest.raises(SeedError, match=words):
        load(database, folder=folder)
