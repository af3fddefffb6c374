"""An extension lead in use stops its outlet, unless the inspection in force names that very one; then with limits."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from service.common.errors import Rejected
from service.households.domain.equipment import YesNo
from service.safety.domain.clearance import OutletClearance, outlet_clearance
from service.safety.domain.evidence import InspectionRecord
from service.safety.domain.extension_use import ExtensionDetails, ExtensionRecord
from service.safety.domain.inspection_answers import ExtensionNamed
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from tests.factories.signs import (
    GOOD_ANSWERS,
    LONDON,
    OTHER_CIRCUIT,
    SAME_CIRCUIT,
    SOCKET,
    inspection_of,
    looked_after,
)

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
DAY = timedelta(days=1)
KNOWN: dict[str, Any] = {
    "mark": "Drum 7", "size_mm2": Decimal("2.5"), "length_m": Decimal(10), "is_coiled": "no", "is_chained": "no",
    "has_several_sockets": "no", "place": "indoors", "is_outdoor_rated": "no",
}  # fmt: skip
NAMED = ExtensionNamed("drum  7", Decimal("2.50"), Decimal("10.0"), YesNo.YES)


def use(outlet_id: str = SOCKET.id, ended_at: datetime | None = None, **changes: Any) -> ExtensionRecord:
    """Return a use since the day before, of a lead of which all is known."""
    details = ExtensionDetails(outlet_id, **{**KNOWN, **changes})
    return ExtensionRecord(f"extension-{outlet_id}", details, NOON - DAY, ended_at)


def naming(named: ExtensionNamed | None = NAMED, **changes: Any) -> InspectionRecord:
    """Return an inspection that counts and names the lead, with a limit and a reason."""
    usual = {"answers": replace(GOOD_ANSWERS, extension=named), "limit_a": 8, "limit_reason": "short and thick"}
    return inspection_of(SOCKET.id, "2026-06-01", **{**usual, **changes})


def clearance(
    *uses: ExtensionRecord, inspection: InspectionRecord | None = None, at: datetime = NOON, **changes: Any
) -> OutletClearance:
    found = naming() if inspection is None else inspection
    return outlet_clearance(SOCKET, looked_after([found], extensions=uses, **changes), at=at, zone=LONDON)


def test_one_that_the_inspection_names_is_used_with_limits_and_the_caution_goes_with_it() -> None:
    found = clearance(use())
    assert (found.clearance, found.limit_a) == (Clearance.USE_WITH_LIMITS, 8)
    assert "through the extension lead “Extension lead” at most 8 A" in found.evidence
    assert "the wall socket is unwatched" in found.evidence
    assert any(step.what == "Extension lead" for step in found.working.steps)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"mark": ""}, "names another lead"),
        ({"mark": "drum 8"}, "names another lead"),
        ({"size_mm2": Decimal("1.5")}, "names another lead"),
        ({"length_m": Decimal(9)}, "names another lead"),
        ({"size_mm2": None}, "size or length is not known"),
        ({"length_m": None}, "size or length is not known"),
        ({"is_coiled": "not_known"}, "not known whether it is coiled"),
        ({"place": "not_known"}, "not known whether it is outdoors"),
        ({"place": "outdoors", "is_outdoor_rated": "not_known"}, "rated for outdoors"),
    ],
)
def test_any_other_or_less_known_one_is_not_used_and_says_what_would_lift_it(
    changes: dict[str, Any], words: str
) -> None:
    found = clearance(use(**changes))
    assert (found.clearance, found.limit_a, found.needs[0]) == (Clearance.DO_NOT_USE, None, Need.EXTENSION_ENDED)
    assert words in found.evidence
    assert "or an accepted inspection that names this very one" in found.missing[0]
    assert "straight into the outlet" in found.next_step


@pytest.mark.parametrize(
    "changes",
    [
        {"is_coiled": "yes"}, {"is_chained": "yes"}, {"has_several_sockets": "yes"},
        {"place": "outdoors", "is_outdoor_rated": "no"},
    ],
)  # fmt: skip
def test_four_uses_no_inspection_lifts(changes: dict[str, Any]) -> None:
    found = clearance(use(**changes))
    assert found.clearance is Clearance.DO_NOT_USE
    assert found.missing == ("that the extension lead “Extension lead” is not used any more",)


@pytest.mark.parametrize(
    ("inspection", "words"),
    [
        (naming(None), "no inspection names this lead"),
        (naming(limit_a=None), "sets no limit in amperes"),
        (naming(limit_reason=" "), "gives no reason"),
        (naming(replace(NAMED, instructions_allow=YesNo.NOT_KNOWN)), "instructions are not known to allow"),
        (naming(replace(NAMED, instructions_allow=YesNo.NO)), "instructions are not known to allow"),
        (naming(accepted_at=None), "no inspection names this lead"),
        (naming(is_partial=True), "no inspection names this lead"),
        (naming(has_document=False), "no inspection names this lead"),
        (naming(limitation="sampled"), "no inspection names this lead"),
        (naming(next_due_on=NOON.date()), "no inspection names this lead"),
    ],
)
def test_only_an_inspection_in_force_that_names_it_with_limit_and_reason_allows_it(
    inspection: InspectionRecord, words: str
) -> None:
    found = clearance(use(), inspection=inspection)
    assert found.clearance is Clearance.DO_NOT_USE
    assert words in found.evidence


def test_a_newer_inspection_that_does_not_name_it_takes_the_older_ones_word_back() -> None:
    newer = inspection_of(SOCKET.id, "2026-07-01")
    found = outlet_clearance(SOCKET, looked_after([naming(), newer], extensions=(use(),)), at=NOON, zone=LONDON)
    assert found.clearance is Clearance.DO_NOT_USE


def test_it_stands_from_when_it_was_recorded_until_its_end_was() -> None:
    coiled = use(ended_at=NOON + DAY, is_coiled="yes")
    instants = [NOON - DAY - timedelta(seconds=1), NOON - DAY, NOON, NOON + DAY]
    found = [clearance(coiled, inspection=inspection_of(SOCKET.id, "2026-06-01"), at=at).clearance for at in instants]
    assert found == [Clearance.FIT_TO_USE, Clearance.DO_NOT_USE, Clearance.DO_NOT_USE, Clearance.FIT_TO_USE]


def test_it_says_nothing_of_another_outlet_and_two_in_use_are_as_good_as_the_worse() -> None:
    assert clearance(use(SAME_CIRCUIT.id, is_coiled="yes")).clearance is Clearance.USE_WITH_LIMITS  # his 8 A
    assert clearance(use(), use(is_coiled="yes")).clearance is Clearance.DO_NOT_USE


def test_the_least_of_his_limit_ten_amperes_and_a_reels_label_holds() -> None:
    assert clearance(use(), inspection=naming(limit_a=13)).limit_a == 10
    assert clearance(use(reel_unwound_w=1_800), inspection=naming(limit_a=13)).limit_a == 7  # at 253 V
    assert clearance(use(reel_unwound_w=1_000)).clearance is Clearance.DO_NOT_USE


def test_the_cable_of_a_charging_point_is_never_lengthened() -> None:
    named = replace(naming(), outlet_id=OTHER_CIRCUIT.id, circuit_id=OTHER_CIRCUIT.circuit_id)
    evidence = looked_after([named], extensions=(use(OTHER_CIRCUIT.id),))
    found = outlet_clearance(OTHER_CIRCUIT, evidence, at=NOON, zone=LONDON)
    assert (found.clearance, "never lengthened" in found.evidence) == (Clearance.DO_NOT_USE, True)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"size_mm2": Decimal("7.77")}, "size_mm2"),
        ({"length_m": Decimal(0)}, "length_m"),
        ({"length_m": Decimal("1.25")}, "length_m"),
        ({"is_coiled": "perhaps"}, "is_coiled"),
        ({"place": "roof"}, "place"),
        ({"label": " "}, "label"),
        ({"mark": "x" * 121}, "mark"),
        ({"reel_unwound_w": 5_000}, "reel_unwound_w"),
    ],
)
def test_what_cannot_be_is_refused_by_the_name_of_its_field(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        use(**changes)
    assert [fault.field for fault in refused.value.faults] == [field]
