"""A recorded figure keeps the unit, the keys and the bounds of its name; everything wrong is told at once."""

from datetime import date
from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.figures.domain.recording import RecordedFigure

RIGHT = {
    "name": "advisory_petrol", "key": "up_to_1400", "from_on": date(2026, 9, 1), "until_on": None,
    "value": Decimal(14), "unit": "pence per mile", "standing": "operator", "source": "read on the publisher's page",
}


def faults(**changes) -> dict[str, str]:
    with pytest.raises(Rejected) as caught:
        RecordedFigure(**{**RIGHT, **changes})
    return {fault.field: fault.rule for fault in caught.value.faults}


def test_a_right_figure_is_a_figure_of_the_book():
    assert RecordedFigure(**RIGHT).where_from == "read on the publisher's page (operator)"


@pytest.mark.parametrize(
    ("changes", "field", "rule"),
    [
        ({"name": "advisory_diesel"}, "name", "must be one of mileage_allowance_first"),
        ({"key": ""}, "key", "must be one of up_to_1400, 1401_to_2000, above_2000"),
        ({"name": "passenger_rate"}, "key", "must be empty"),
        ({"unit": "pounds per mile"}, "unit", "must be 'pence per mile'"),
        ({"value": Decimal("-1")}, "value", "must lie between 0 and 200"),
        ({"value": Decimal(1400)}, "value", "must lie between 0 and 200"),
        ({"value": Decimal("NaN")}, "value", "must lie between"),
        ({"value": Decimal("Infinity")}, "value", "must lie between"),
        ({"value": Decimal("1.1234567")}, "value", "at most 6 decimals"),
        ({"standing": "sure"}, "standing", "must be one of published"),
        ({"source": "  "}, "source", "must say in one line"),
        ({"source": "two\nlines"}, "source", "must say in one line"),
        ({"source": "x" * 401}, "source", "must say in one line"),
        ({"from_on": date(1926, 9, 1)}, "from_on", "must lie between 2000-01-01"),
        ({"until_on": date(2026, 9, 1)}, "until_on", "must lie after"),
        ({"until_on": date(2026, 8, 31)}, "until_on", "must lie after"),
        ({"until_on": date(2126, 8, 31)}, "until_on", "must lie between"),
    ],
)
def test_what_breaks_a_rule_is_refused_by_field(changes, field, rule):
    found = faults(**changes)
    assert list(found) == [field]
    assert found[field].startswith(rule) or rule in found[field]


def test_all_faults_are_told_at_once():
    assert set(faults(unit="p", value=Decimal(999), standing="", source="", until_on=date(2026, 1, 1))) == {
        "unit", "value", "standing", "source", "until_on"
    }
