"""Claims of the demo: worked out as sending works them out, each state once, and what is not known left open."""

from __future__ import annotations

import json
import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select

from service.cli.seed import SeedError
from service.infrastructure.db.sessions import Database
from service.reimbursement.models import BusinessTrip, Claim, ClaimMessage, ReimbursementRule
from service.reimbursement.operations.claims import reckon_claim
from service.reimbursement.operations.trips import Owner
from tests.factories.demo_homes import SEED, WEDNESDAY, load


def test_each_claim_is_what_its_trips_come_to(database: Database) -> None:
    scheme_id = load(database)
    with database.scheme(scheme_id, write=False) as session:
        claims = session.scalars(select(Claim)).all()
        assert sorted(claim.state for claim in claims) == ["approved", "queried", "sent"]
        for claim in claims:
            again = reckon_claim(session, Owner(claim.account_id, claim.household_id), claim)
            assert (claim.total_pence, claim.miles) == (again.total_pence, again.miles)
            assert claim.total_pence > 0
        queried = next(claim for claim in claims if claim.state == "queried")
        assert session.scalars(select(ClaimMessage.claim_id)).all() == [queried.id]


def test_open_trips_are_of_today_and_a_later_loading_adds_none(database: Database) -> None:
    scheme_id = load(database)
    load(database, now=WEDNESDAY + timedelta(days=40))
    with database.scheme(scheme_id, write=False) as session:
        is_open = BusinessTrip.claim_id.is_(None)
        assert set(session.scalars(select(BusinessTrip.on_date).where(is_open))) == {WEDNESDAY.date()}
        assert len(session.scalars(select(ReimbursementRule.id)).all()) == 1


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("members", 0, "car"), "no such car", "has no car that is called"),
        (("members", 0, "held_as"), "hired", "members.0.held_as must be one of"),
        (("members", 0, "claim", "trips", 0, "miles"), "0", "miles must be more than 0"),
        (("rules", 0, "claim_within_days"), 0, "rules.0.claim_within_days"),
        (("members", 2, "claim"), {"state": "sent", "trips": [
            {"day": 1, "from": "A", "to": "B", "reason": "r", "miles": "1"},
        ]}, "cannot be worked out"),
    ],
)  # fmt: skip
def test_a_claim_that_cannot_be_is_refused(
    database: Database, tmp_path: Path, path: tuple[str | int, ...], value: object, words: str
) -> None:
    folder = shutil.copytree(SEED, tmp_path / "seed")
    found = json.loads((folder / "claims.json").read_text())
    place = found
    for part in path[:-1]:
        place = place[part]
    place[path[-1]] = value
    (folder / "claims.json").write_text(json.dumps(found))
    with pytest.raises(SeedError, match=words):
        load(database, folder=folder)
