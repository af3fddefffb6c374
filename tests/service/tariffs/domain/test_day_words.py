import numpy as np
import pytest

from service.common.calendar import DayKind
from service.tariffs.domain.day_words import KINDS, clock_words, spans_in_words

WEEKDAY, WEEKEND, BANK = (KINDS.index(kind) for kind in (DayKind.WEEKDAY, DayKind.WEEKEND, DayKind.BANK_HOLIDAY))
ALL = slice(None)


def cells(*marks):
    table = np.zeros((12, 3, 48), dtype=np.bool_)
    for month, kind, half_hours in marks:
        table[month, kind, half_hours] = True
    return table


@pytest.mark.parametrize(
    ("marked", "words"),
    [
        (cells(), []),
        (cells((0, WEEKDAY, 1)), [("00:30-01:00", "on weekdays in January")]),
        (cells((ALL, ALL, ALL)), [("00:00-24:00", "every day")]),
        (cells((ALL, WEEKEND, slice(46, 48))), [("23:00-24:00", "on weekends")]),
        (cells((ALL, [WEEKEND, BANK], 0)), [("00:00-00:30", "on weekends and bank holidays")]),
        (cells(([9, 10, 11, 0, 1, 2], WEEKDAY, 0)), [("00:00-00:30", "on weekdays in October to March")]),
        (cells(([0, 2, 3, 4], WEEKDAY, 0)), [("00:00-00:30", "on weekdays in January and March to May")]),
        (
            cells((0, WEEKDAY, 0), ([0, 1], WEEKEND, 0)),
            [("00:00-00:30", "on weekdays in January; on weekends in January to February")],
        ),
        (
            cells((5, BANK, [1, 2, 40])),
            [("00:30-01:30", "on bank holidays in June"), ("20:00-20:30", "on bank holidays in June")],
        ),
    ],
)
def test_marked_half_hours_are_named_by_span_and_days(marked, words):
    assert spans_in_words(marked) == words


@pytest.mark.parametrize(("minutes", "words"), [(0, "00:00"), (30, "00:30"), (1410, "23:30"), (1440, "24:00")])
def test_minutes_become_wall_times(minutes, words):
    assert clock_words(minutes) == words
