"""When the network operator is told and when asked, against the operators' forms and answers."""

import itertools
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.households.domain.equipment import YesNo
from service.safety.domain.arithmetic.network_operator import (
    NOTIFY_WITHIN,
    NetworkAction,
    SupplyState,
    assumed_fuse,
    network_notice,
    notify_by,
)
from tests.service.safety.domain.arithmetic.published import ENA_FAQ, ENA_FORM, OLD_CUT_OUT, derived

KNOWN = SupplyState(100, YesNo.NO, YesNo.NO, YesNo.YES, YesNo.NO, YesNo.NO, YesNo.NO)
NOTIFY, APPLY = NetworkAction.CONNECT_AND_NOTIFY, NetworkAction.APPLY_FIRST


@pytest.mark.reference
@pytest.mark.parametrize(
    ("demand", "supply", "expected"),
    [
        ("60.0", KNOWN, NOTIFY),
        ("60.1", KNOWN, APPLY),
        ("58", replace(KNOWN, is_looped=YesNo.YES), APPLY),
        ("58", replace(KNOWN, fuse_a=None), APPLY),
    ],
)
def test_boundaries(demand, supply, expected, reference):
    got = network_notice(Decimal(demand), supply).action
    reference(source=derived("boundaries of the form's text"), expected=expected.value, got=got.value)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("demand", "supply", "expected"),
    [
        (45, KNOWN, NOTIFY),
        (60, replace(KNOWN, fuse_a=60), NOTIFY),
        (61, KNOWN, APPLY),
        (45, replace(KNOWN, is_adequate=YesNo.NO), APPLY),
    ],
)
def test_the_forms_conditions(demand, supply, expected, reference):
    got = network_notice(demand, supply).action
    reference(source=ENA_FORM, expected=expected.value, got=got.value)


@pytest.mark.reference
@pytest.mark.parametrize(
    "state",
    [
        {"is_looped": YesNo.YES},
        {"is_unmetered": YesNo.YES},
        {"is_adequate": YesNo.NOT_KNOWN},
        {"fuse_a": None},
        {"has_doubt": YesNo.YES},
        {"is_upgrade_certain": YesNo.YES},
        {"is_area_scheme": YesNo.YES},
    ],
    ids=lambda state: next(iter(state)),
)
def test_any_doubt_about_the_supply_is_asked_before(state, reference):
    got = network_notice(20, replace(KNOWN, **state))
    assert len(got.reasons) == 1
    reference(source=ENA_FAQ, expected=APPLY.value, got=got.action.value)


@pytest.mark.reference
def test_a_notice_is_due_within_28_days(reference):
    reference(source=ENA_FORM, expected=28, got=NOTIFY_WITHIN.days)


@pytest.mark.reference
def test_28_days_are_days_and_not_a_month(reference):
    got = notify_by(date(2026, 1, 31))
    reference(source="python-dateutil 2.9.0 relativedelta, days=28", expected=date(2026, 2, 28), got=got)
    assert notify_by(date(2026, 3, 31)) == date(2026, 4, 28)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("is_marked", "is_old", "expected"),
    [(False, YesNo.YES, 60), (True, YesNo.YES, None), (False, YesNo.NO, None), (False, YesNo.NOT_KNOWN, None)],
)
def test_an_unmarked_older_cut_out_is_reckoned_as_60_a(is_marked, is_old, expected, reference):
    got = assumed_fuse(is_marked=is_marked, is_older_black_or_metal=is_old).rating_a
    reference(source=OLD_CUT_OUT, expected=expected, got=got)


def test_demand_above_the_fuse_is_asked_before_and_every_reason_is_named():
    notice = network_notice(70, replace(KNOWN, fuse_a=60, is_looped=YesNo.NOT_KNOWN))
    assert notice.action is APPLY
    assert notice.reasons == (
        "new maximum demand above 60 A",
        "new maximum demand above the cut-out's 60 A",
        "not known: looped supply",
    )


def test_a_demand_that_is_not_known_is_asked_before():
    assert network_notice(None, KNOWN).action is APPLY


def test_an_existing_socket_adds_advice_from_memory_and_changes_nothing():
    notice = network_notice(70, KNOWN, is_existing_socket=True)
    assert notice.action is APPLY
    assert "from memory" in notice.working.steps[-1].source


@pytest.mark.parametrize("fuse", [0, 30, 63, 125])
def test_a_fuse_size_that_was_not_read_is_refused(fuse):
    with pytest.raises(Rejected, match="fuse_a: must be 60, 80 or 100 A"):
        replace(KNOWN, fuse_a=fuse)


STATES = st.builds(SupplyState, st.sampled_from([None, 60, 80, 100]), *[st.sampled_from(YesNo)] * 6)


@given(st.integers(0, 120), st.integers(0, 120), STATES)
def test_more_demand_never_makes_asking_unnecessary(one, other, supply):
    low, high = sorted([one, other])
    if network_notice(low, supply).action is APPLY:
        assert network_notice(high, supply).action is APPLY


def test_of_all_2916_states_only_a_supply_known_to_be_adequate_is_notified_afterwards():
    clear = (YesNo.NO, YesNo.NO, YesNo.YES, YesNo.NO, YesNo.NO, YesNo.NO)
    for fuse in (None, 60, 80, 100):
        for answers in itertools.product(YesNo, repeat=6):
            is_notified = network_notice(60, SupplyState(fuse, *answers)).action is NOTIFY
            assert is_notified == (fuse is not None and answers == clear)
