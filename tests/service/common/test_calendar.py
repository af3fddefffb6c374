from datetime import date, timedelta

import pytest

from service.common.calendar import DayKind, Nation, day_kind, listed_holidays

LISTED_2027 = [("england", 10), ("wales", 10), ("scotland", 12), ("northern_ireland", 12)]
ACT = "Banking and Financial Dealings Act 1971, sch. 1, and common-law holidays, reckoned by rule"
WORLD_CUP_DAY = date(2026, 6, 15)  # Scotland, by proclamation


def easter(year):
    """Easter Sunday by the anonymous Gregorian rule (Nature, 1876), independent of any package."""
    a, b, c = year % 19, year // 100, year % 100
    d, e = divmod(b, 4)
    g = (8 * b + 13) // 25
    h = (19 * a + b - d - g + 15) % 30
    i, k = divmod(c, 4)
    m = (32 + 2 * e + 2 * i - h - k) % 7
    n = (a + 11 * h + 22 * m) // 451
    month, day = divmod(h + m - 7 * n + 114, 31)
    return date(year, month, day + 1)


def monday(year, month, which):
    """The first (1) or last (-1) Monday of a month."""
    days = [date(year, month, 1) + timedelta(days=step) for step in range(31)]
    return [day for day in days if day.month == month and day.weekday() == 0][which - (which > 0)]


def holidays_by_rule(year, nation):
    fixed = {
        "england": [(1, 1), (12, 25), (12, 26)],
        "wales": [(1, 1), (12, 25), (12, 26)],
        "scotland": [(1, 1), (1, 2), (11, 30), (12, 25), (12, 26)],
        "northern_ireland": [(1, 1), (3, 17), (7, 12), (12, 25), (12, 26)],
    }[nation]
    moving = [easter(year) - timedelta(days=2), monday(year, 5, 1), monday(year, 5, -1)]
    moving.append(monday(year, 8, 1 if nation == "scotland" else -1))
    if nation != "scotland":
        moving.append(easter(year) + timedelta(days=1))
    days = [date(year, *month_day) for month_day in fixed]
    taken = {day for day in days if day.weekday() < 5} | set(moving)
    for day in (day for day in days if day.weekday() >= 5):
        substitute = day
        while substitute.weekday() >= 5 or substitute in taken:
            substitute += timedelta(days=1)
        taken.add(substitute)
    return taken | ({WORLD_CUP_DAY} if (year, nation) == (2026, "scotland") else set())


@pytest.mark.reference
@pytest.mark.parametrize(("nation", "count"), LISTED_2027)
def test_the_list_of_2027_is_as_long_as_observed(nation, count, reference):
    source = "holidays 0.109 as observed, substitute days and their weekend originals both counted"
    reference(source=source, expected=count, got=len(listed_holidays(2027, Nation(nation))))


@pytest.mark.reference
@pytest.mark.parametrize("nation", list(Nation))
@pytest.mark.parametrize("year", range(2024, 2031))
def test_bank_holidays_are_those_of_the_act_with_substitutes_for_weekends(year, nation, reference):
    days = [date(year, 1, 1) + timedelta(days=step) for step in range(366)]
    got = [str(day) for day in days if day.year == year and day_kind(day, nation) is DayKind.BANK_HOLIDAY]
    reference(source=ACT, expected=sorted(map(str, holidays_by_rule(year, nation))), got=got)


def test_england_and_wales_share_one_list():
    assert listed_holidays(2028, Nation.ENGLAND) == listed_holidays(2028, Nation.WALES)


@pytest.mark.parametrize(
    ("day", "nation", "kind"),
    [
        (date(2026, 12, 25), Nation.ENGLAND, DayKind.BANK_HOLIDAY),
        (date(2026, 12, 26), Nation.ENGLAND, DayKind.WEEKEND),  # Saturday: its substitute is Monday
        (date(2026, 12, 28), Nation.ENGLAND, DayKind.BANK_HOLIDAY),
        (date(2026, 12, 29), Nation.ENGLAND, DayKind.WEEKDAY),
        (date(2026, 7, 13), Nation.NORTHERN_IRELAND, DayKind.BANK_HOLIDAY),  # the 12th is a Sunday
        (date(2026, 7, 13), Nation.ENGLAND, DayKind.WEEKDAY),
        (date(2026, 4, 6), Nation.SCOTLAND, DayKind.WEEKDAY),  # Easter Monday
        (date(2026, 4, 6), Nation.WALES, DayKind.BANK_HOLIDAY),
    ],
)
def test_a_date_has_one_kind_by_nation(day, nation, kind):
    assert day_kind(day, nation) is kind
