"""Which edition is in force on a day, and what that says of a rule."""

from datetime import date

import pytest

from service.safety.domain.arithmetic.editions import WIRING, Mark, Rule, edition_in_force
from service.safety.domain.arithmetic.rules import TABLE_4D5

A3, A4 = "BS 7671:2018+A2:2022+A3:2024", "BS 7671:2018+A4:2026"


@pytest.mark.reference
@pytest.mark.parametrize(("on", "expected"), [("2026-10-14", A3), ("2026-10-15", A4), ("2026-11-25", A4)])
def test_the_wiring_rules_in_force(on, expected, reference):
    got = edition_in_force(WIRING, date.fromisoformat(on)).name
    reference(source="several pages on BS 7671 Amendment 4 (2026)", expected=expected, got=got)


def test_before_what_is_recorded_nothing_is_in_force():
    assert edition_in_force(WIRING, date(2020, 1, 1)) is None
    assert edition_in_force("another standard", date(2026, 11, 25)) is None


def test_a_rule_read_in_earlier_amendments_is_not_confirmed_in_the_edition_in_force():
    assert TABLE_4D5.is_confirmed_on(date(2026, 10, 14))
    assert not TABLE_4D5.is_confirmed_on(date(2026, 10, 15))
    assert not TABLE_4D5.is_confirmed_on(date(2020, 1, 1))


def test_a_rule_read_in_the_edition_in_force_is_confirmed():
    rule = Rule("a rule", Mark.PUBLISHED, "a page", WIRING, "a page", (A4,))
    assert rule.is_confirmed_on(date(2026, 11, 25))
    assert f"confirmed in {A4}" in rule.cited


@pytest.mark.parametrize("mark", [Mark.FROM_MEMORY, Mark.COMMON_PRACTICE])
def test_memory_and_common_practice_confirm_nothing(mark):
    assert not Rule("a rule", mark, "", WIRING, "", (A4,)).is_confirmed_on(date(2026, 11, 25))


def test_arithmetic_stands_and_advice_without_an_edition_does_not():
    assert Rule("P = I^2 R", Mark.DERIVED, "arithmetic").is_confirmed_on(date(2026, 11, 25))
    assert not Rule("advice", Mark.PUBLISHED, "a page").is_confirmed_on(date(2026, 11, 25))


def test_a_citation_says_how_far_the_rule_may_be_trusted():
    assert "not confirmed in BS 7671:2018+A4:2026, in force from 2026-10-15" in TABLE_4D5.cited
    assert "amendments 1 to 3" in TABLE_4D5.cited
    assert Rule("a rule", Mark.COMMON_PRACTICE, "").cited == "a rule: common practice, no source"
    assert Rule("a rule", Mark.FROM_MEMORY, "").cited == "a rule: from memory, to be checked against the book"
    assert Rule("a rule", Mark.PUBLISHED, "a page", "IEC 1").cited == "a rule (a page; edition not stated there)"
