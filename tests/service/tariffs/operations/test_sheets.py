"""Rate sheets keep every value on the way from input to rows and back."""

from typing import Any

import pytest

from service.common.calendar import DayKind
from service.common.errors import Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs import operations
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.operations.sheets import read_sheets
from tests.factories.tariffs import flat_draft, tariff_with


def _window(**changes: Any) -> dict[str, Any]:
    return {"starts_at_min": 30, "ends_at_min": 330, "day_kinds": ["weekday"], "months": [1, 2], **changes}


def _sheet(*windows: dict[str, Any], **changes: Any) -> dict[str, Any]:
    bands = [
        {"name": "night", "price_up": 9_500_000, "is_otherwise": False, "windows": list(windows)},
        {"name": "day", "price_up": 31_000_000, "is_otherwise": True, "windows": []},
    ]
    return {"region": "north", "payment": None, "standing_up_per_day": 48_200_000, "bands": bands, **changes}


def test_input_values_become_rate_sheets() -> None:
    night = Band("night", 9_500_000, (Window(30, 330, frozenset({DayKind.WEEKDAY}), frozenset({1, 2})),))
    day = Band("day", 31_000_000, (), True)
    assert read_sheets([_sheet(_window())]) == (RateSheet("north", None, 48_200_000, (night, day)),)


def test_every_fault_is_named_by_its_place() -> None:
    with pytest.raises(Rejected) as caught:
        read_sheets([_sheet(_window()), _sheet(_window(starts_at_min=31), _window(months=[13]))])
    assert [fault.field for fault in caught.value.faults] == [
        "sheets.1.bands.0.windows.0.starts_at",
        "sheets.1.bands.0.windows.1.months",
    ]


def test_stored_sheets_come_back_as_they_were_in_their_order(session: SchemeSession) -> None:
    crossing = Window(1410, 300, frozenset({DayKind.WEEKEND, DayKind.BANK_HOLIDAY}), frozenset({12, 1}))
    sheets = tuple(
        RateSheet(
            region,
            payment,
            1_234_567,
            (Band("late", -750_001, (crossing, Window(600, 630))), Band("rest", 99_999_999, (), True)),
        )
        for region in (None, "south", "north")
        for payment in ("prepayment", None)
    )
    tariff_id, [version_id] = tariff_with(session, flat_draft(sheets=sheets))
    session.expire_all()
    assert operations.get_version(session, tariff_id, version_id).sheets == sheets
