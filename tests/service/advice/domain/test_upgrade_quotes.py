"""A quote counts before a figure, the newest before an older one; every fault of one is named at once."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from service.advice.domain.upgrade_quotes import QuoteDetails, cost_of, quoted_by
from service.advice.domain.upgrade_works import Upgrade
from service.common.errors import Rejected
from service.figures.domain.book import Figure, FigureBook

TODAY = date(2026, 11, 25)
FIGURE = Figure("work_cost", "charging_point_7kw", date(2025, 1, 1), None, Decimal(110_000), "pence", "assumed", "own")
BOOK = FigureBook([FIGURE])


def quote(pence: int, on: date = TODAY, kind: str = "point_tethered") -> QuoteDetails:
    return QuoteDetails(kind, pence, on)


def test_without_a_quote_the_figure_stands_in_and_is_said_to_be_assumed() -> None:
    cost = cost_of(Upgrade.POINT_TETHERED, [quote(1, kind="dedicated_circuit")], BOOK, today=TODAY)
    assert (cost.pence, cost.is_quoted, cost.is_assumed) == (110_000, False, True)
    assert "assumed" in cost.step.source


def test_the_newest_quote_counts_and_of_one_day_the_lowest() -> None:
    quotes = [quote(90_000, date(2026, 1, 1)), quote(120_000), quote(115_000)]
    cost = cost_of(Upgrade.POINT_TETHERED, quotes, BOOK, today=TODAY)
    assert (cost.pence, cost.is_quoted, cost.is_assumed) == (115_000, True, False)


def test_an_old_quote_counts_and_is_said_to_be_old() -> None:
    cost = cost_of(Upgrade.POINT_TETHERED, [quote(90_000, date(2026, 1, 1))], BOOK, today=TODAY)
    assert cost.pence == 90_000 and "328 days old" in cost.step.rule


def test_neither_quote_nor_figure_is_not_known() -> None:
    cost = cost_of(Upgrade.EV_MARKED_SOCKET, [], BOOK, today=TODAY)
    assert cost.pence is None and cost.step.result.startswith("not known")


def test_every_fault_is_named_at_once() -> None:
    with pytest.raises(Rejected) as refused:
        QuoteDetails("a palace", 5_000_001, date(1999, 12, 31), "x" * 301)
    assert [fault.field for fault in refused.value.faults] == ["kind", "cost_pence", "quoted_on", "note"]


def test_a_quote_of_tomorrow_is_refused_and_one_of_today_is_not() -> None:
    assert [fault.field for fault in quoted_by(quote(1, date(2026, 11, 26)), TODAY)] == ["quoted_on"]
    assert list(quoted_by(quote(1), TODAY)) == []
