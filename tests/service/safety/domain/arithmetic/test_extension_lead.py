"""Extension leads: do not use, unless an inspection names the lead; some uses can never be lifted."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.households.domain.equipment import Place, YesNo
from service.safety.domain.arithmetic.extension_lead import (
    ExtensionLead,
    ExtensionUse,
    NamedInspection,
    extension_verdict,
)
from tests.service.safety.domain.arithmetic.published import EXTENSION_ADVICE, EXTENSION_TABLE, REEL_LABEL

NO, YES, UNKNOWN = YesNo.NO, YesNo.YES, YesNo.NOT_KNOWN
LEAD = ExtensionLead("lead 7, batch K2", Decimal("1.5"), Decimal(10), NO, NO, NO, Place.INDOORS, NO)
NAMED = NamedInspection(LEAD.identity, Decimal("1.5"), Decimal(10), Decimal(10), YES, "no socket nearer the car")
SETTINGS = tuple(Decimal(value) for value in (6, 8, 10))
DO_NOT, LIMITS = ExtensionUse.DO_NOT_USE, ExtensionUse.USE_WITH_LIMITS


def verdict(lead=LEAD, inspection=NAMED, settings=SETTINGS):
    return extension_verdict(lead, inspection, settings)


def named(lead, **more):
    return replace(NAMED, size_mm2=lead.size_mm2, length_m=lead.length_m, **more)


def test_without_an_inspection_that_names_it_no_lead_is_used():
    found = verdict(inspection=None)
    assert (found.use, found.limit_a) == (DO_NOT, None)
    assert found.reasons == ("no inspection names this lead",)
    assert found.can_be_lifted


def test_an_inspection_that_names_the_lead_gives_use_with_limits():
    found = verdict()
    assert (found.use, found.limit_a, found.reasons) == (LIMITS, 10, ())
    assert (found.loss.volts, found.loss.heat_w) == (Decimal("3.2"), 32)
    assert "the wall socket is unwatched" in found.cautions[0]


@pytest.mark.reference
@pytest.mark.parametrize(
    "use",
    [
        {"is_coiled": YES},
        {"is_chained": YES},
        {"has_several_sockets": YES},
        {"place": Place.OUTDOORS, "is_outdoor_rated": NO},
    ],
    ids=["coiled at 10 A", "two leads", "several sockets", "outdoors, not rated"],
)
def test_some_uses_are_refused_whatever_an_inspection_says(use, reference):
    found = verdict(replace(LEAD, **use))
    assert not found.can_be_lifted
    reference(source=EXTENSION_ADVICE, expected=DO_NOT.value, got=found.use.value)


@pytest.mark.reference
@pytest.mark.parametrize(("settings", "expected"), [((6, 8, 10), 8), ((6,), 6), ((10,), None), ((10, 13), None)])
def test_a_reel_marked_2300_w_is_refused_at_10_a_or_lowered(settings, expected, reference):
    found = verdict(replace(LEAD, reel_unwound_w=Decimal(2300)), settings=tuple(map(Decimal, settings)))
    assert found.use is (DO_NOT if expected is None else LIMITS)
    reference(source=REEL_LABEL, expected=expected, got=found.limit_a)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("size", "length", "expected"),
    [("1.25", 12, LIMITS), ("1.25", 13, DO_NOT), ("1.5", 15, LIMITS), ("1.5", 16, DO_NOT), ("2.5", 26, DO_NOT)],
)
def test_a_lead_too_long_for_its_size_is_refused(size, length, expected, reference):
    lead = replace(LEAD, size_mm2=Decimal(size), length_m=Decimal(length))
    reference(source=EXTENSION_TABLE, expected=expected.value, got=verdict(lead, named(lead)).use.value)


@pytest.mark.reference
def test_a_flex_of_0_75_mm2_is_refused(reference):
    lead = replace(LEAD, size_mm2=Decimal("0.75"))
    source = "Table 4F3, 6 A: public file of UK cable tables; DIY page on flex sizes"
    reference(source=source, expected=DO_NOT.value, got=verdict(lead, named(lead)).use.value)


def test_a_flex_of_1_mm2_has_no_margin_at_10_a_by_common_practice():
    lead = replace(LEAD, size_mm2=Decimal("1.0"))
    found = verdict(lead, named(lead), settings=(Decimal(10),))
    assert found.use is DO_NOT
    assert "no setting is low enough for this lead" in found.reasons
    assert any("common practice, no source" in step.source for step in found.working.steps)


def test_the_socket_for_hours_and_the_inspection_bound_the_setting():
    lead = replace(LEAD, size_mm2=Decimal("2.5"))
    assert verdict(lead, named(lead), settings=(Decimal(10), Decimal(13))).limit_a == 10
    assert verdict(inspection=replace(NAMED, limit_a=Decimal(8))).limit_a == 8
    assert verdict(inspection=replace(NAMED, limit_a=Decimal(5))).use is DO_NOT


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"identity": "another lead"}, "the inspection names another lead, size or length"),
        ({"size_mm2": Decimal("2.5")}, "the inspection names another lead, size or length"),
        ({"length_m": Decimal(9)}, "the inspection names another lead, size or length"),
        ({"instructions_allow": NO}, "the charging lead's instructions are not known to allow an extension"),
        ({"instructions_allow": UNKNOWN}, "the charging lead's instructions are not known to allow an extension"),
    ],
)
def test_an_inspection_counts_only_for_the_lead_it_names(changed, reason):
    found = verdict(inspection=replace(NAMED, **changed))
    assert found.use is DO_NOT
    assert reason in found.reasons


@pytest.mark.parametrize(
    "unknown",
    [
        {"is_coiled": UNKNOWN},
        {"is_chained": UNKNOWN},
        {"has_several_sockets": UNKNOWN},
        {"place": Place.NOT_KNOWN},
        {"place": Place.OUTDOORS, "is_outdoor_rated": UNKNOWN},
        {"size_mm2": None},
        {"length_m": None},
    ],
)
def test_what_is_not_known_of_a_lead_is_never_a_pass(unknown):
    found = verdict(replace(LEAD, **unknown))
    assert found.use is DO_NOT
    assert found.reasons


def test_a_thick_flex_and_a_reel_bring_their_cautions():
    lead = replace(LEAD, size_mm2=Decimal("2.5"), reel_unwound_w=Decimal(3000))
    assert len(verdict(lead, named(lead)).cautions) == 3


@pytest.mark.parametrize(
    ("field", "ask"),
    [
        ("size_mm2", lambda: replace(LEAD, size_mm2=Decimal(6))),
        ("length_m", lambda: replace(LEAD, length_m=Decimal(0))),
        ("reel_unwound_w", lambda: replace(LEAD, reel_unwound_w=Decimal(0))),
        ("limit_a", lambda: replace(NAMED, limit_a=Decimal(0))),
        ("identity", lambda: replace(NAMED, identity=" ")),
        ("reason", lambda: replace(NAMED, reason="")),
    ],
)
def test_what_is_out_of_range_is_refused(field, ask):
    with pytest.raises(Rejected, match=field):
        ask()


ANSWERS = st.sampled_from(YesNo)
SIZES = st.none() | st.sampled_from([Decimal(size) for size in ("0.75", "1.0", "1.25", "1.5", "2.5")])
LENGTHS = st.none() | st.integers(1, 30).map(Decimal)
LEADS = st.builds(
    ExtensionLead, st.just(LEAD.identity), SIZES, LENGTHS, ANSWERS, ANSWERS, ANSWERS, st.sampled_from(Place), ANSWERS
)


@given(LEADS)
def test_use_needs_every_answer_and_a_naming_inspection(lead):
    assert verdict(lead, None).use is DO_NOT
    if lead.size_mm2 is not None and lead.length_m is not None:
        found = verdict(lead, named(lead))
        is_clear = (lead.is_coiled, lead.is_chained, lead.has_several_sockets) == (NO, NO, NO)
        is_dry = lead.place is Place.INDOORS or lead.is_outdoor_rated is YES
        assert found.use is DO_NOT or (is_clear and is_dry and found.limit_a <= 10)


@given(LEADS, st.integers(1, 30))
def test_a_longer_lead_never_gets_a_better_answer(lead, more):
    if lead.size_mm2 is not None and lead.length_m is not None:
        longer = replace(lead, length_m=lead.length_m + more)
        if verdict(lead, named(lead)).use is DO_NOT:
            assert verdict(longer, named(longer)).use is DO_NOT
