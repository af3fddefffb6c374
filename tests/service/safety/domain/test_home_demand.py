"""A home's maximum demand: known only when every row is, and never extrapolated."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.households.domain.equipment import LargeLoadKind, YesNo
from service.households.domain.home_details import LargeLoad
from service.safety.domain.home_demand import (
    ROW_OF,
    ChargingOutlet,
    HomeDemand,
    OtherEvidence,
    SupplyDoubts,
    home_demand,
)

SOCKET = ChargingOutlet("garage socket", "socket_13a", 10)
POINT = ChargingOutlet("drive", "charging_point", 32)
STATED = SupplyDoubts(YesNo.NO, YesNo.YES, YesNo.NO, YesNo.NO, YesNo.NO)


def loads(**powers: int | None) -> list[LargeLoad]:
    """Return every kind of load: none of it, unless a power is named."""
    return [LargeLoad(kind, powers.get(kind.value, 0)) for kind in LargeLoadKind]


def demand(given_loads, *outlets: ChargingOutlet, **changes) -> HomeDemand:
    usual = {"fuse_a": 100, "is_looped": YesNo.NO, "phases": 1, "doubts": STATED}
    return home_demand(given_loads, outlets or (SOCKET,), **{**usual, **changes})


def test_every_kind_of_load_has_its_row() -> None:
    assert set(ROW_OF) == set(LargeLoadKind)


def test_the_rows_add_and_charging_counts_in_full() -> None:
    # 230 W is 1 A: lighting 10 A at 66 %, a shower in full, 10 A of charging
    found = demand(loads(lighting=2300, shower=9200))
    assert found.demand_a == Decimal("6.6") + 40 + 10
    assert found.at_least_a == found.demand_a
    assert found.method.startswith("diversity row by row")
    assert [row.kind.value for row in found.rows] == ["lighting", "instantaneous_water", "charging"]
    assert found.notice and found.notice.action == "connect_and_notify"
    assert found.working.steps[-2].result.startswith("connect, then notify")


def test_a_cooker_counts_with_a_socket_in_its_switch_which_nobody_records() -> None:
    # 30 A: 10 A, 30 % of 20 A, 5 A for the socket
    assert demand(loads(cooker=6900)).demand_a == 10 + 6 + 5 + 10


@pytest.mark.parametrize("kind", LargeLoadKind)
def test_one_row_that_is_not_known_leaves_the_demand_not_known(kind: LargeLoadKind) -> None:
    known = loads(shower=9200)
    for given_loads in ([load for load in known if load.kind != kind], [*known, LargeLoad(kind)]):
        found = demand(given_loads)
        assert (found.demand_a, found.not_known) == (None, (kind.value,))
        assert found.notice and found.notice.action == "apply_first"
        assert "the new maximum demand is not known" in found.notice.reasons


def test_the_known_rows_bound_it_from_below() -> None:
    found = demand([LargeLoad("shower", 9200)])
    assert (found.demand_a, found.at_least_a) == (None, 50)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"fuse_a": None}, "the cut-out's fuse is not known"),
        ({"is_looped": YesNo.YES}, "looped supply"),
        ({"is_looped": YesNo.NOT_KNOWN}, "not known: looped supply"),
        ({"doubts": SupplyDoubts()}, "not known: unmetered supply"),
    ],
)
def test_any_doubt_about_the_supply_means_to_apply_first(changes: dict, reason: str) -> None:
    found = demand(loads(), **changes)
    assert found.notice and found.notice.action == "apply_first"
    assert reason in found.notice.reasons


def test_above_60_a_the_operator_is_asked_first() -> None:
    assert demand(loads(shower=6440), POINT).notice.action == "connect_and_notify"  # 28 + 32 = 60 A
    assert demand(loads(shower=6463), POINT).notice.action == "apply_first"  # 60.1 A


def test_a_fuse_that_no_rule_was_read_for_is_refused_by_name() -> None:
    found = demand(loads(), fuse_a=45)
    assert found.notice is None
    assert [fault.field for fault in found.refused] == ["fuse_a"]


def test_three_phases_are_not_known_because_their_loads_are_spread_somehow() -> None:
    assert demand(loads(), phases=3).demand_a is None


def test_a_home_without_an_outlet_does_not_know_what_charging_takes() -> None:
    found = home_demand(loads(), (), fuse_a=80, is_looped=YesNo.NO, phases=1, doubts=STATED)
    assert (found.demand_a, found.not_known) == (None, ("what charging takes",))


def test_a_measured_demand_counts_in_place_of_rows_that_are_not_known_and_says_by_whom() -> None:
    found = demand([], other=OtherEvidence(measured_a=38, measured_days=14, measured_by="meter of the supply"))
    assert (found.demand_a, found.at_least_a) == (48, 10)
    assert found.method == "maximum demand measured over 14 days by meter of the supply, plus the new load in full"
    assert found.notice and found.notice.action == "connect_and_notify"
    assert len(found.not_known) == len(LargeLoadKind)


def test_a_device_that_holds_the_home_to_a_limit_gives_its_limit() -> None:
    found = demand(loads(shower=9200), POINT, other=OtherEvidence(limit_a=60, device="load manager L 1"))
    assert (found.demand_a, found.at_least_a) == (60, 72)
    assert "load manager L 1" in found.method


@pytest.mark.parametrize(
    ("given_evidence", "fields"),
    [
        ({"measured_a": 40}, ["measured_days", "measured_by"]),
        ({"measured_days": 7, "measured_by": "M"}, ["measured_a"]),
        ({"limit_a": 60}, ["device"]),
        ({"device": "L"}, ["limit_a"]),
        ({"measured_a": 40, "measured_days": 7, "measured_by": "M", "limit_a": 60, "device": "L"}, ["limit_a"]),
    ],
)
def test_half_of_other_evidence_and_two_kinds_at_once_are_refused(given_evidence: dict, fields: list[str]) -> None:
    with pytest.raises(Rejected) as refused:
        OtherEvidence(**given_evidence)
    assert [fault.field for fault in refused.value.faults] == fields


def test_other_evidence_beyond_its_ranges_is_refused() -> None:
    with pytest.raises(Rejected):
        demand(loads(), other=OtherEvidence(measured_a=1001, measured_days=7, measured_by="M"))
    with pytest.raises(Rejected):
        demand(loads(), other=OtherEvidence(measured_a=40, measured_days=0, measured_by="M"))


@given(st.integers(0, 20_000), st.integers(0, 20_000), st.sampled_from(LargeLoadKind))
def test_more_load_is_never_less_demand(power_w: int, more_w: int, kind: LargeLoadKind) -> None:
    less = demand(loads(**{kind.value: power_w})).demand_a
    more = demand(loads(**{kind.value: power_w + more_w})).demand_a
    assert less is not None and more is not None and more >= less
