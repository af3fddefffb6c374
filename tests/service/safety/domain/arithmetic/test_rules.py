"""The table of rules: every rule has a mark and says where it was read."""

from datetime import date

import pytest

from service.safety.domain.arithmetic.editions import WIRING, Mark
from service.safety.domain.arithmetic.rules import DECLARED_VOLTAGE, RULES

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_rule_says_where_it_was_read_or_that_it_was_not(rule):
    assert rule.name
    if rule.mark in (Mark.PUBLISHED, Mark.DERIVED):
        assert rule.source
        assert rule.source in rule.cited
    else:
        assert not rule.confirmed_in


def test_names_are_unique():
    names = [rule.name for rule in RULES]
    assert len(set(names)) == len(names)


def test_no_wiring_rule_is_confirmed_in_the_edition_in_force():
    wiring = [rule for rule in RULES if rule.standard == WIRING]
    assert len(wiring) > 20
    assert not any(rule.is_confirmed_on(TODAY) for rule in wiring)


def test_only_arithmetic_and_law_are_confirmed():
    confirmed = [rule for rule in RULES if rule.is_confirmed_on(TODAY)]
    assert all(rule.mark is Mark.DERIVED or rule is DECLARED_VOLTAGE for rule in confirmed)
    assert DECLARED_VOLTAGE in confirmed


def test_what_is_from_memory_is_marked_so():
    from_memory = {rule.name for rule in RULES if rule.mark is Mark.FROM_MEMORY}
    assert from_memory == {
        "I2 = 1.45 In of a circuit-breaker or cartridge fuse",
        "BS 7671 Appendix 4 section 6.1 load correction Ct",
        "No form is normally sent for a Mode 2 lead in an existing socket",
    }
