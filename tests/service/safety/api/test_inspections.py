"""Results to be decided over HTTP: with what fails of them and what they leave not known, in words."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from service.infrastructure.db.sessions import Database
from service.safety.domain.inspection_answers import Reading
from tests.factories.home_clients import HomeClients, home_clients, send
from tests.factories.safety import claim, make_counting
from tests.factories.signs import GOOD_ANSWERS

FAILING = replace(
    GOOD_ANSWERS, zs_ohm=Reading(Decimal("1.2")), insulation_mohm=Reading(not_tested_because="electronics on it")
)


@pytest.fixture
def people(database: Database, client: Callable[..., Any], scheme: str) -> HomeClients:
    """A home with a result that waits to be accepted, one reading outside its limit and one not taken."""
    people = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        view = claim(session, people.home.id, people.home.outlet_id)
        row = make_counting(session, view.id)
        row.answers, row.accepted_at, row.acceptance_ground = FAILING.to_json(), None, None
    return people


def test_the_list_says_which_readings_fail_by_which_limit_and_what_is_left_not_known(people: HomeClients) -> None:
    (found,) = send(people.officer, "GET", "/api/v1/inspections?state=waiting").json["items"]
    (failure,) = found["failures"]
    assert (failure["field"], failure["words"]) == (
        "zs_ohm", "an earth fault loop of 1.2 ohm is above its limit of 1.096 ohm",
    )  # fmt: skip
    assert failure["limit"] == "reading <= 0.8 x max Zs: limit 1.096 ohm"
    assert "80 %" in failure["source"]
    assert found["missing"] == ["insulation resistance (not tested: electronics on it)"]


def test_the_home_shows_the_same_of_its_inspections(people: HomeClients) -> None:
    (listed,) = send(people.officer, "GET", "/api/v1/inspections").json["items"]
    (of_home,) = send(people.administrator, "GET", people.path).json["inspections"]
    assert (of_home["failures"], of_home["missing"]) == (listed["failures"], listed["missing"])
