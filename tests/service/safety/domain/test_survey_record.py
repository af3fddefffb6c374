"""What answers do to the record: the known replaces it, the unknown leaves it, what was said can be taken back."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.households.domain.equipment import Earthing, LargeLoadKind, YesNo
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.domain.home_details import LargeLoad, SupplyDetails
from service.safety.domain.survey_answers import CircuitAnswers, LeadAnswers, OutletAnswers, SupplyAnswers
from service.safety.domain.survey_record import (
    UNRATED_POINT_A,
    answers_of_lead,
    answers_of_outlet,
    circuit_record,
    is_load_known,
    lead_changes,
    new_lead,
    new_outlet,
    outlet_changes,
    supply_record,
)
from tests.factories.households import lead_details, outlet_details

one_load_each = st.dictionaries(st.sampled_from(LargeLoadKind), st.none() | st.integers(0, 9_000)).map(
    lambda powers: tuple(LargeLoad(kind, powers[kind]) for kind in LargeLoadKind if kind in powers)
)
words: dict[str, Any] = {
    "fuse_a": st.none() | st.integers(5, 200), "earthing": st.sampled_from(Earthing),
    "looped": st.sampled_from(YesNo), "loads": one_load_each,
}  # fmt: skip
recorded_supplies = st.builds(SupplyDetails, phases=st.sampled_from([1, 3]), **words)
said_supplies = st.builds(SupplyAnswers, phases=st.sampled_from([None, 1, 3]), **words)


@given(recorded_supplies)
def test_what_nobody_knows_leaves_the_supply_as_it_is_recorded(recorded: SupplyDetails) -> None:
    assert supply_record(recorded, SupplyAnswers(), None) == recorded


@given(recorded_supplies, said_supplies)
def test_what_is_known_is_recorded_and_saying_it_again_changes_nothing(
    recorded: SupplyDetails, said: SupplyAnswers
) -> None:
    after = supply_record(recorded, said, None)
    for field, unknown in (("fuse_a", None), ("earthing", "not_known"), ("looped", "not_known"), ("phases", None)):
        answer = getattr(said, field)
        assert getattr(after, field) == (getattr(recorded, field) if answer == unknown else answer)
    for kind in LargeLoadKind:
        known = is_load_known(recorded.loads, kind) or is_load_known(said.loads, kind)
        assert is_load_known(after.loads, kind) == known
    assert supply_record(after, said, said) == after


@given(recorded_supplies, said_supplies)
def test_an_answer_taken_back_is_not_known_and_what_others_recorded_stays(
    recorded: SupplyDetails, said: SupplyAnswers
) -> None:
    after = supply_record(recorded, said, None)
    back = supply_record(after, SupplyAnswers(), said)
    assert back.fuse_a == (recorded.fuse_a if said.fuse_a is None else None)
    assert supply_record(replace(after, fuse_a=100), SupplyAnswers(), replace(said, fuse_a=60)).fuse_a == 100


def test_no_and_none_of_a_load_are_known_and_a_missing_power_is_not() -> None:
    assert is_load_known((LargeLoad("shower", 0),), LargeLoadKind.SHOWER)
    assert not is_load_known((LargeLoad("shower", 8500), LargeLoad("shower")), LargeLoadKind.SHOWER)
    assert not is_load_known((), LargeLoadKind.SHOWER)


def test_an_outlet_keeps_what_the_member_does_not_know() -> None:
    recorded = outlet_details(place="outdoors", ip_code="IP44", ev_mark="yes")
    said = OutletAnswers(kind="socket_13a", car_place="indoors", nights_a_week=4)
    after = replace(recorded, **outlet_changes(recorded, said, None))
    assert (after.place, after.ip_code, after.ev_mark) == ("outdoors", "IP44", "yes")
    assert (after.car_place, after.nights_a_week, after.label) == ("indoors", 4, recorded.label)


def test_another_kind_of_outlet_or_lead_is_another_one() -> None:
    with pytest.raises(Rejected, match="another outlet"):
        outlet_changes(outlet_details(), OutletAnswers(kind="charging_point"), None)
    with pytest.raises(Rejected, match="another lead"):
        lead_changes(lead_details(), LeadAnswers(kind="mode_3_cable"), None)
    with pytest.raises(Rejected, match="another lead"):
        lead_changes(lead_details(), LeadAnswers(kind="none"), None)


def test_the_first_day_of_use_never_moves_back_so_that_no_old_inspection_comes_to_count() -> None:
    recorded = outlet_details(since_on=date(2026, 5, 1))
    with pytest.raises(Rejected) as refused:
        outlet_changes(recorded, OutletAnswers(since_on=date(2026, 4, 30)), None)
    assert refused.value.faults[0].field == "since_on"
    assert outlet_changes(recorded, OutletAnswers(since_on=date(2026, 6, 1)), None)["since_on"] == date(2026, 6, 1)
    said = OutletAnswers(since_on=recorded.since_on)
    assert outlet_changes(recorded, OutletAnswers(), said)["since_on"] == recorded.since_on


def test_a_member_never_raises_what_a_charging_point_is_recorded_to_carry() -> None:
    point = outlet_details(kind="charging_point", limit_a=16)
    assert outlet_changes(point, OutletAnswers(rated_a=32), None)["limit_a"] == 16
    assert outlet_changes(point, OutletAnswers(rated_a=10), None)["limit_a"] == 10
    unrated = outlet_details(kind="charging_point", limit_a=UNRATED_POINT_A)
    assert outlet_changes(unrated, OutletAnswers(rated_a=32), None)["limit_a"] == 32


def test_a_new_outlet_carries_what_is_known_to_be_safe_for_hours() -> None:
    socket = new_outlet(OutletAnswers(kind="socket_13a", place="indoors"))
    assert socket and (socket.label, socket.limit_a, socket.place) == ("13 A socket", 10, "indoors")
    point = new_outlet(OutletAnswers(kind="charging_point", label="Drive"))
    assert point and (point.label, point.limit_a) == ("Drive", UNRATED_POINT_A)
    assert new_outlet(OutletAnswers()) is None


def test_a_lead_is_recorded_once_its_rating_is_known_and_its_setting_is_never_guessed_low() -> None:
    assert new_lead(LeadAnswers(kind="mode_2")) is None
    assert new_lead(LeadAnswers(kind="none", rated_a=10)) is None
    lead = new_lead(LeadAnswers(kind="mode_2", rated_a=13))
    assert lead and (lead.rated_a, lead.set_a) == (13, 13)


def test_a_lead_keeps_its_setting_unless_another_is_named() -> None:
    recorded = lead_details(set_a=8)
    assert lead_changes(recorded, LeadAnswers(), None)["set_a"] == 8
    assert lead_changes(recorded, LeadAnswers(rated_a=10, set_a=6), None)["set_a"] == 6
    assert lead_changes(lead_details(rated_a=13, set_a=13), LeadAnswers(rated_a=10), None)["set_a"] == 10


def test_words_alone_raise_neither_what_a_lead_is_rated_for_nor_what_it_is_set_to() -> None:
    recorded = lead_details(rated_a=10, set_a=8)
    for said in (LeadAnswers(rated_a=13), LeadAnswers(set_a=10), LeadAnswers(rated_a=13, set_a=13)):
        # Not even where the survey itself had said so before.
        for before in (None, LeadAnswers(rated_a=10, set_a=8)):
            with pytest.raises(Rejected) as refused:
                lead_changes(recorded, said, before)
            asked = {"rated_a": said.rated_a, "set_a": said.set_a}
            assert {fault.field for fault in refused.value.faults} == {name for name, value in asked.items() if value}
            assert "A that are recorded" in refused.value.faults[0].rule


GARAGE = CircuitDetails(
    "garage",
    (
        RunDetails("board", device="B32", device_kind="mcb_b", device_a=32, rcd_type="a", rcd_ma=30),
        RunDetails("radial", cable_kind="flat_twin_and_earth", cable_mm2=Decimal("2.5"), ambient_c=30),
    ),
)


def test_nothing_said_of_the_runs_leaves_the_circuit() -> None:
    assert circuit_record(GARAGE, CircuitAnswers(), None, "socket") == GARAGE
    assert circuit_record(None, CircuitAnswers(), None, "socket") is None


def test_a_run_of_the_same_kind_at_its_place_keeps_what_is_recorded() -> None:
    said = CircuitAnswers(runs=(RunDetails("board"), RunDetails("radial", length_m=Decimal(12))))
    after = circuit_record(GARAGE, said, None, "socket")
    assert after == CircuitDetails("garage", (GARAGE.runs[0], replace(GARAGE.runs[1], length_m=Decimal(12))))


def test_another_kind_of_run_replaces_what_was_there() -> None:
    after = circuit_record(GARAGE, CircuitAnswers(runs=(RunDetails("ring"),)), None, "socket")
    assert after and after.runs == (RunDetails("ring"),)


def test_no_rcd_takes_its_current_out_too() -> None:
    after = circuit_record(GARAGE, CircuitAnswers(runs=(RunDetails("board", rcd_type="none"),)), None, "socket")
    assert after and (after.runs[0].rcd_type, after.runs[0].rcd_ma) == ("none", None)


def test_a_new_circuit_is_named_after_its_outlet() -> None:
    after = circuit_record(None, CircuitAnswers(runs=(RunDetails("ring"),)), None, "garage socket")
    assert after and after.label == "Circuit of garage socket"


def test_what_is_recorded_reads_as_the_answers_that_would_record_it() -> None:
    outlet = outlet_details(kind="charging_point", limit_a=32, ip_code="IP65", since_on=date(2026, 1, 1))
    assert replace(outlet, **outlet_changes(outlet, answers_of_outlet(outlet), None)) == outlet
    lead = lead_details(settings_a=(6, 8, 10), length_m=Decimal("7.5"))
    assert replace(lead, **lead_changes(lead, answers_of_lead(lead), None)) == lead
