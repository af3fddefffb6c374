"""The demo says who can take its tariffs and which meters its homes have, and a fault names its place."""

import pytest

from service.cli.seed.files import Node, SeedError
from service.cli.seed.taking import add_taking
from service.households.models import Household
from service.tariffs.models import Tariff


def _add(value: object) -> tuple[Tariff, Household]:
    tariff, home = Tariff(name="Night"), Household(reference="H-01")
    add_taking(Node("taking.json", "", value), {"Night": tariff}, [home])
    return tariff, home


def test_terms_and_meters_are_put_on_the_rows() -> None:
    tariff, home = _add({"tariffs": {"Night": {"meter_needed": "two_rate"}}, "meters": {"two_rate": ["H-01"]}})
    assert (tariff.meter_needed, tariff.is_open, tariff.fixed_months) == ("two_rate", True, None)
    assert home.meter_kind == "two_rate"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ({"tariffs": {"Day": {}}, "meters": {}}, "tariffs has no place for Day"),
        ({"tariffs": {"Night": {"meter_needed": "steam"}}, "meters": {}}, "must be one of: any, two_rate, half_hourly"),
        ({"tariffs": {}, "meters": {"steam": []}}, "meters has no place for steam"),
        ({"tariffs": {}, "meters": {"two_rate": ["H-99"]}}, "names H-99, which no file in homes/ describes"),
    ],
)
def test_a_fault_names_its_place(value: object, words: str) -> None:
    with pytest.raises(SeedError, match=words):
        _add(value)
