"""One home's cells: what is not known is empty, never nought; text that a spreadsheet might run is known."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from service.advice.documents.upgrades_lines import HEADS, line, looks_active, one_line
from service.advice.domain.budget_ranking import Place, RankedHome, SchemeHome
from service.advice.domain.upgrade_money import YearlyMoney
from service.advice.domain.upgrade_quotes import Cost
from service.advice.domain.upgrade_verdict import Weighed
from service.advice.domain.upgrade_works import Upgrade
from service.common.working import Step

HOME = SchemeHome("h", "H-1", "do_not_use", True, 5, (), "", datetime(2026, 11, 25, 9, tzinfo=UTC))
NO_STEP = Step("", {}, "", "", "")


def test_there_is_a_cell_for_each_head() -> None:
    cells = line(RankedHome(1, HOME, Place.SAFETY, None, False, "stopped"))
    assert len(cells) == len(HEADS)
    assert cells[:4] == (1, "H-1", "safety", "no")
    assert cells[4:11] == (None,) * 7
    assert cells[11:] == ("do not use", "stopped", date(2026, 11, 25))


def test_money_that_is_not_known_is_empty() -> None:
    yearly = YearlyMoney(None, None, None, None, None, 52_000, None, 0, ())
    work = Weighed(Upgrade.POINT_TETHERED, Cost(None, False, False, NO_STEP), yearly, None, "not known")
    cells = dict(zip(HEADS, line(RankedHome(2, HOME, Place.NOT_KNOWN, work, False, "why")), strict=True))
    assert cells["Shortfall avoided in kWh a year"] == Decimal(52)
    assert [cells[head] for head in HEADS if "pounds" in head or "years" in head] == [None] * 4


@pytest.mark.parametrize("text", ["=1+1", " =1", "+44", "-1", "@x", "＝1", "\u00a0=1"])
def test_what_a_spreadsheet_might_run_is_told(text: str) -> None:
    assert looks_active(text) and not looks_active(f"a{text}")


def test_line_ends_become_blanks() -> None:
    assert one_line("a\r\nb\x00c\u2028d\uffffe\ufffe") == "a b c d e "
