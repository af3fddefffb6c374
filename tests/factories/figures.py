"""Figures that an operator records in tests."""

from datetime import date
from decimal import Decimal
from typing import Any

from service.figures.domain.recording import RecordedFigure


def recorded(**changes: Any) -> RecordedFigure:
    """Return a figure that no shipped table knows: the advisory rate of charging at home from September 2026."""
    usual = {
        "name": "advisory_electric_home", "key": "", "from_on": date(2026, 9, 1), "until_on": None,
        "value": Decimal(7), "unit": "pence per mile", "standing": "operator", "source": "read on the publisher's page",
    }
    return RecordedFigure(**{**usual, **changes})
