"""An operator's table is read whole or not at all, and each bad line is named."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.figures.domain.shipped import COLUMNS, FOLDER
from service.figures.domain.table import read_recorded

HEAD = ",".join(COLUMNS)
RIGHT = "advisory_electric_home,,2026-09-01,2026-12-01,7,pence per mile,operator,read on the page"


def told(text: str) -> list[tuple[str, str]]:
    with pytest.raises(Rejected) as caught:
        read_recorded(text)
    return [(fault.field, fault.rule) for fault in caught.value.faults]


def test_a_table_gives_its_figures_in_order():
    other = RIGHT.replace("home", "public").replace(",7,", ",15.5,").replace("2026-12-01", "")
    first, second = read_recorded(f"\ufeff{HEAD}\r\n{RIGHT}\r\n\r\n{other}\r\n")
    assert (first.name, first.value, str(first.until_on)) == ("advisory_electric_home", Decimal(7), "2026-12-01")
    assert (second.name, second.value, second.until_on) == ("advisory_electric_public", Decimal("15.5"), None)


@pytest.mark.parametrize("table", sorted(FOLDER.glob("*.csv")), ids=lambda path: path.stem)
def test_the_shipped_tables_are_tables_an_operator_may_bring(table):
    assert read_recorded(table.read_text("utf-8"))


@pytest.mark.parametrize(
    ("row", "field", "rule"),
    [
        (RIGHT.replace("2026-09-01", "2026-9-1"), "line 2, from_on", "must be a day such as"),
        (RIGHT.replace("2026-09-01", "2026-02-30"), "line 2, from_on", "must be a day such as"),
        (RIGHT.replace("2026-09-01", ""), "line 2, from_on", "must be a day such as"),
        (RIGHT.replace("2026-12-01", "soon"), "line 2, until_on", "must be a day such as"),
        (RIGHT.replace(",7,", ",7p,"), "line 2, value", "must be a plain decimal number"),
        (RIGHT.replace(",7,", ",7e1,"), "line 2, value", "must be a plain decimal number"),
        (RIGHT.replace(",7,", ",NaN,"), "line 2, value", "must be a plain decimal number"),
        (RIGHT.replace(",7,", ",٧,"), "line 2, value", "must be a plain decimal number"),
        (RIGHT.replace(",7,", ",700,"), "line 2, value", "must lie between 0 and 200"),
        (RIGHT.replace("per mile", "a mile"), "line 2, unit", "must be 'pence per mile'"),
        (RIGHT + ",more", "line 2", "must have 8 columns"),
        ("advisory_electric_home,,", "line 2", "must have 8 columns"),
    ],
)
def test_a_bad_line_is_told_by_its_number_and_column(row, field, rule):
    ((where, why),) = told(f"{HEAD}\n{row}\n")
    assert where == field
    assert why.startswith(rule)


def test_every_bad_line_is_told_at_once_and_none_of_the_good_ones_is_taken():
    found = told(f"{HEAD}\n{RIGHT}\n{RIGHT.replace(',7,', ',x,')}\n{RIGHT.replace('operator', 'sure')}\n")
    assert [where for where, _ in found] == ["line 3, value", "line 4, standing"]


def test_the_same_figure_twice_is_refused():
    assert told(f"{HEAD}\n{RIGHT}\n{RIGHT.replace(',7,', ',8,')}\n") == [
        ("line 3", "gives the same figure from the same day as line 2")
    ]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "must be name,key"), ("name,value\nx,1\n", "must be name,key"), (f"{HEAD}\n", "holds no figure"),
        (f'{HEAD}\n"advisory', "is not CSV"),
    ],
)
def test_what_is_no_such_table_is_refused(text, rule):
    ((_, why),) = told(text)
    assert rule in why


def test_a_table_beyond_all_measure_is_refused():
    days = [f"{2000 + number // 336}-{number // 28 % 12 + 1:02d}-{number % 28 + 1:02d}" for number in range(2001)]
    rows = "\n".join(f"discount_rate,,{day},,3.5,percent a year,operator,made up" for day in days)
    ((_, why),) = told(f"{HEAD}\n{rows}\n")
    assert why == "must be at most 2000 figures at once"
