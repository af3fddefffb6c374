"""Which recorded readings fail: each at its limit and just beyond it."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from service.households.domain.equipment import DeviceKind, Earthing, OutletKind, Place, RcdType
from service.safety.domain.arithmetic.lost_pen import LostPenAnswer
from service.safety.domain.inspection_answers import Reading
from service.safety.domain.reading_limits import WORKING_TEMPERATURE
from tests.factories.signs import GOOD_ANSWERS


def failed(**changes: Any) -> list[str]:
    failures = replace(GOOD_ANSWERS, **changes).failures()
    assert all(failure.words and failure.working.steps for failure in failures)
    return [failure.field for failure in failures]


def reading(value: str) -> Reading:
    return Reading(Decimal(value))


# source, what is changed, the limit as the reading that still passes, the first that does not
LIMITS = [
    ("OSG and trade pages: RCD within 300 ms at IDn", "rcd_time_ms", {}, "300", "300.1"),
    ("trade pages: insulation at least 1 Mohm at 500 V", "insulation_mohm", {}, "1", "0.99"),
    ("reference page on Zs: B32 1.37 ohm, cold 80 %", "zs_ohm", {}, "1.096", "1.097"),
    ("reference page on Zs: C16 1.37 ohm, cold 80 %", "zs_ohm", {"device_kind": DeviceKind.MCB_C, "device_a": 16},
     "1.096", "1.097"),
    ("reference page on Zs: 13 A fuse 2.30 ohm, cold 80 %", "zs_ohm", {"device_kind": DeviceKind.PLUG_FUSE},
     "1.84", "1.841"),
    ("reference page on Zs: B32 1.37 ohm, corrected", "zs_ohm", {"zs_corrected": WORKING_TEMPERATURE},
     "1.37", "1.371"),
    ("look-up tables: RA x IDn <= 50 V, 1667 ohm at 30 mA", "ze_ohm", {"earthing": Earthing.TT}, "1666", "1667"),
    ("look-up tables: RA x IDn <= 50 V, the whole loop", "zs_ohm", {"earthing": Earthing.TT}, "1666", "1667"),
]  # fmt: skip


@pytest.mark.reference
@pytest.mark.parametrize(("source", "field", "changes", "passes", "fails"), LIMITS)
def test_a_reading_passes_at_its_limit_and_fails_beyond_it(  # type: ignore[no-untyped-def]
    source: str, field: str, changes: dict[str, Any], passes: str, fails: str, reference
) -> None:
    got = [failed(**changes, **{field: reading(value)}) for value in (passes, fails)]
    reference(source=source, expected=[[], [field]], got=got)


def test_an_rcd_must_be_there_of_at_most_30_ma_and_not_of_type_ac() -> None:
    assert failed(rcd_ma=31) == ["rcd_ma"]
    assert failed(rcd_type=RcdType.AC) == failed(rcd_type=RcdType.NONE) == ["rcd_type"]
    assert failed(rcd_type=RcdType.F) == failed(rcd_type=RcdType.B) == []


def test_how_zs_was_corrected_counts_only_in_the_one_agreed_word() -> None:
    assert failed(zs_ohm=reading("1.2"), zs_corrected="by the book") == ["zs_ohm"]
    assert failed(zs_ohm=reading("1.2"), zs_corrected=WORKING_TEMPERATURE) == []


def test_a_device_without_a_tabled_limit_fails_nothing_and_leaves_zs_not_known() -> None:
    for changes in ({"device_kind": DeviceKind.FUSE_REWIREABLE}, {"device_a": 80}, {"device_a": None}):
        answers = replace(GOOD_ANSWERS, zs_ohm=reading("50"), **changes)
        assert answers.failures() == ()
        assert len(answers.missing(OutletKind.SOCKET_13A)) == 1


def test_a_car_outdoors_on_pme_needs_an_answer_that_the_supply_allows() -> None:
    pme = {"earthing": Earthing.TN_C_S, "car_place": Place.OUTDOORS}
    assert failed(**pme, lost_pen=LostPenAnswer.NONE) == ["lost_pen"]
    assert failed(**pme, lost_pen=LostPenAnswer.BALANCED_THREE_PHASE) == ["lost_pen"]
    assert failed(**pme, lost_pen=LostPenAnswer.BALANCED_THREE_PHASE, supply_phases=3) == []
    assert failed(**pme) == []  # not recorded: nothing fails, and it is missing
    assert failed(**{**pme, "car_place": Place.INDOORS}, lost_pen=LostPenAnswer.NONE) == []


def test_each_failure_names_its_limit_as_worked_out_and_where_the_limit_stands() -> None:
    for changes, limit, source in (
        ({"insulation_mohm": reading("0.5")}, "at least 1 Mohm", "not confirmed in BS 7671:2018+A4:2026"),
        ({"zs_ohm": reading("1.2")}, "reading <= 0.8 x max Zs: limit 1.096 ohm", "80 % of max Zs"),
        ({"earthing": Earthing.TT, "ze_ohm": reading("1700")}, "at most 1667 ohm", "RA x IDn <= 50 V"),
    ):
        (failure,) = replace(GOOD_ANSWERS, **changes).failures()  # type: ignore[arg-type]
        assert limit in failure.limit
        assert source in failure.source
