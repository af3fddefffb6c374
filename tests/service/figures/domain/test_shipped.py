"""The shipped tables say what their publishers say, and nothing on a day that no source was found for."""

from dataclasses import astuple
from datetime import date
from decimal import Decimal

import pytest

from service.figures.domain.book import FigureBook, FigureNotKnown
from service.figures.domain.kinds import KINDS
from service.figures.domain.recording import RecordedFigure
from service.figures.domain.shipped import COLUMNS, read_table, shipped_figures

BOOK = FigureBook(shipped_figures())
ADVISORY = "HMRC, advisory fuel rates"
ALLOWANCE = "HMRC, approved mileage allowance payments"
USE = "Ofgem, typical domestic consumption values"
CARBON = "DESNZ, conversion factors for company reporting"

# From the day on, at home and in public [pence per mile]; None: there was no public rate.
ELECTRIC = [
    ("2018-09-01", 4, None), ("2021-03-01", 4, None), ("2021-06-01", 4, None), ("2021-09-01", 4, None),
    ("2021-12-01", 5, None), ("2022-03-01", 5, None), ("2022-06-01", 5, None), ("2022-09-01", 5, None),
    ("2022-12-01", 8, None), ("2023-03-01", 9, None), ("2023-06-01", 9, None), ("2023-09-01", 10, None),
    ("2023-12-01", 9, None), ("2024-03-01", 9, None), ("2024-06-01", 8, None), ("2024-09-01", 7, None),
    ("2024-12-01", 7, None), ("2025-03-01", 7, None), ("2025-06-01", 7, None), ("2025-09-01", 8, 14),
    ("2025-12-01", 7, 14), ("2026-03-01", 7, 15), ("2026-06-01", 7, 15),
]
# Up to 1,400 cc, up to 2,000 cc, above [pence per mile].
PETROL = [
    ("2021-03-01", 10, 12, 18), ("2021-06-01", 11, 13, 19), ("2021-09-01", 12, 14, 20), ("2022-03-01", 13, 15, 22),
    ("2022-06-01", 14, 17, 25), ("2022-09-01", 15, 18, 27), ("2022-12-01", 14, 17, 26), ("2023-03-01", 13, 15, 23),
    ("2023-06-01", 13, 15, 23), ("2023-09-01", 13, 16, 25), ("2023-12-01", 14, 16, 26), ("2024-03-01", 13, 15, 24),
    ("2024-06-01", 14, 16, 26), ("2024-09-01", 13, 15, 24), ("2024-12-01", 12, 14, 23), ("2025-03-01", 12, 15, 23),
    ("2025-06-01", 12, 14, 22), ("2025-09-01", 12, 14, 22), ("2025-12-01", 12, 14, 22), ("2026-03-01", 12, 14, 22),
    ("2026-06-01", 14, 17, 26),
]
# Name, key, the day, the figure, its source.
OTHERS = [
    ("mileage_allowance_first", "", "2011-04-06", 45, ALLOWANCE),
    ("mileage_allowance_first", "", "2026-04-05", 45, ALLOWANCE),
    ("mileage_allowance_above", "", "2011-04-06", 25, ALLOWANCE),
    ("mileage_allowance_above", "", "2026-04-05", 25, ALLOWANCE),
    ("mileage_allowance_first", "", "2026-04-06", 55, ALLOWANCE),
    ("mileage_allowance_above", "", "2026-04-06", 25, ALLOWANCE),
    ("mileage_allowance_threshold", "", "2025-04-06", 10_000, ALLOWANCE),
    ("passenger_rate", "", "2025-04-06", 5, ALLOWANCE),
    ("vat_domestic_electricity", "", "2026-11-25", 5, "HMRC, Revenue and Customs Brief 7 (2021)"),
    ("vat_public_charging", "", "2026-11-25", 20, "HMRC, Revenue and Customs Brief 7 (2021)"),
    *(
        ("typical_use", f"{rate}_{size}", day, kwh, USE)
        for day, rate, sizes in (
            ("2015-09-01", "single_rate", (2000, 3100, 4600)), ("2015-09-01", "two_rate", (2500, 4300, 7200)),
            ("2020-04-01", "single_rate", (1800, 2900, 4300)), ("2020-04-01", "two_rate", (2400, 4200, 7100)),
        )
        for size, kwh in zip(("low", "medium", "high"), sizes, strict=True)
    ),
    ("typical_use", "single_rate_medium", "2023-10-01", 2700, USE),
    ("typical_use", "single_rate_medium", "2026-06-30", 2700, USE),
    ("typical_use", "single_rate_medium", "2026-07-01", 2500, USE),
    ("typical_use", "two_rate_medium", "2026-07-01", 3400, USE),
    ("public_charging_price", "", "2025-09-01", 51, f"{ADVISORY}, working of 1 Sep 2025"),
    ("carbon_electricity_generated", "", "2022-07-01", "0.19338", CARBON),
    ("carbon_electricity_generated", "", "2023-07-01", "0.20707", CARBON),
    ("carbon_electricity_generated", "", "2024-07-01", "0.20705", CARBON),
    ("carbon_electricity_generated", "", "2025-07-01", "0.17700", CARBON),
    ("carbon_electricity_distribution", "", "2022-07-01", "0.01769", CARBON),
    ("carbon_electricity_distribution", "", "2023-07-01", "0.01792", CARBON),
    ("carbon_electricity_distribution", "", "2025-07-01", "0.01853", CARBON),
    ("carbon_petrol_car", "average", "2025-07-01", "0.26187", CARBON),
    ("carbon_petrol_car", "small", "2025-07-01", "0.23027", CARBON),
    ("carbon_petrol_car", "medium", "2025-07-01", "0.28121", CARBON),
    ("carbon_petrol_car", "large", "2025-07-01", "0.43175", CARBON),
]

NAMES = [" ".join(row[:3]) for row in OTHERS]


def value(name: str, day: str, key: str = "") -> Decimal:
    return BOOK.at(name, date.fromisoformat(day), key).value


@pytest.mark.reference
@pytest.mark.parametrize(("day", "home"), [row[:2] for row in ELECTRIC], ids=[row[0] for row in ELECTRIC])
def test_the_advisory_rate_of_charging_at_home(day, home, reference):
    reference(source=ADVISORY, expected=home, got=value("advisory_electric_home", day))


@pytest.mark.reference
@pytest.mark.parametrize(("day", "public"), [(day, rate) for day, _, rate in ELECTRIC if rate is not None])
def test_the_advisory_rate_of_charging_in_public(day, public, reference):
    reference(source=ADVISORY, expected=public, got=value("advisory_electric_public", day))


@pytest.mark.reference
@pytest.mark.parametrize("row", PETROL, ids=[row[0] for row in PETROL])
@pytest.mark.parametrize("band", [1, 2, 3])
def test_the_advisory_rate_of_petrol(row, band, reference):
    key = ("up_to_1400", "1401_to_2000", "above_2000")[band - 1]
    reference(source=ADVISORY, expected=row[band], got=value("advisory_petrol", row[0], key))


@pytest.mark.reference
@pytest.mark.parametrize(("name", "key", "day", "expected", "source"), OTHERS, ids=NAMES)
def test_other_published_figures(name, key, day, expected, source, reference):
    reference(source=source, expected=Decimal(expected), got=value(name, day, key))


@pytest.mark.parametrize(
    ("name", "key", "last", "first_not_known"),
    [
        ("advisory_electric_home", "", "2026-08-31", "2026-09-01"),
        ("advisory_electric_public", "", "2026-08-31", "2026-12-01"),
        ("advisory_petrol", "up_to_1400", "2026-08-31", "2026-09-01"),
        ("passenger_rate", "", "2026-04-05", "2026-04-06"),
        ("typical_use", "single_rate_low", "2026-06-30", "2026-07-01"),
        ("carbon_electricity_generated", "", "2025-12-31", "2026-01-01"),
        ("carbon_petrol_car", "average", "2025-12-31", "2026-11-29"),
    ],
)
def test_what_no_source_gives_is_not_known(name, key, last, first_not_known):
    assert BOOK.find(name, date.fromisoformat(last), key) is not None
    with pytest.raises(FigureNotKnown, match="is known for"):
        value(name, first_not_known, key)


def test_there_was_no_public_rate_before_september_2025():
    assert BOOK.find("advisory_electric_public", date(2025, 8, 31)) is None


def test_what_stands_without_a_source_says_so():
    assumed = {figure.name for figure in shipped_figures() if figure.standing == "assumed"}
    assert assumed == {"appliance_run_kwh", "appliance_power_w", "work_cost", "charging_point_life"}
    assert {figure.name for figure in shipped_figures() if figure.standing == "from_memory"} == {
        "advisory_petrol", "typical_use", "discount_rate", "carbon_electricity_distribution"
    }


def test_every_shipped_figure_keeps_the_rules_that_the_operators_do():
    for figure in shipped_figures():
        assert RecordedFigure(*astuple(figure)).value == figure.value
    assert {figure.name for figure in shipped_figures()} == set(KINDS)


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("discount_rate,,2026-01-01,,NaN,percent,assumed,x", "line 2: the value must be a number"),
        ("discount_rate,,2026-01-01,,x,percent,assumed,x", "line 2"),
        ("discount_rate,,1 May,,1,percent,assumed,x", "line 2"),
        ("discount_rate,,2026-01-01,,1,percent,sure,x", "line 2.*sure"),
        ("discount_rate,,2026-01-01,,1,percent,assumed,", "line 2.*source"),
    ],
)
def test_a_broken_shipped_table_is_told_by_its_line(line, rule):
    with pytest.raises(ValueError, match=rule):
        read_table(",".join(COLUMNS) + "\n" + line + "\n")
