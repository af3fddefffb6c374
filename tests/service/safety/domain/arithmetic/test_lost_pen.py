"""A lost combined conductor, against what pages say of the rule's options."""

import itertools
from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.households.domain.equipment import Earthing, Place
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.lost_pen import (
    LostPenAnswer,
    disconnection_verdict,
    earth_rise_verdict,
    lost_pen_verdict,
    must_disconnect,
)
from tests.service.safety.domain.arithmetic.published import LOST_PEN_70, LOST_PEN_TT, LOST_PEN_WINDOW


@pytest.mark.reference
@pytest.mark.parametrize(("rise", "expected"), [("70", "passes"), ("70.1", "fails")])
def test_a_voltage_to_earth_stays_within_70_v(rise, expected, reference):
    reference(source=LOST_PEN_70, expected=expected, got=earth_rise_verdict(Decimal(rise)).answer.value)


@pytest.mark.reference
@pytest.mark.parametrize(("volts", "expected"), [("206.9", True), ("207", False), ("253", False), ("253.1", True)])
def test_a_device_of_option_iv_works_outside_207_to_253_v(volts, expected, reference):
    reference(source=LOST_PEN_WINDOW, expected=expected, got=must_disconnect(Decimal(volts)))


@pytest.mark.reference
@pytest.mark.parametrize(("after", "expected"), [("5", "passes"), ("5.1", "fails"), (None, "fails")])
def test_a_device_of_option_iv_disconnects_within_5_s(after, expected, reference):
    got = disconnection_verdict(260, None if after is None else Decimal(after)).answer.value
    reference(source=LOST_PEN_WINDOW, expected=expected, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("recorded", "phases", "source", "expected"),
    [
        ("iii", 1, LOST_PEN_70, "passes"),
        ("iv", 1, LOST_PEN_WINDOW, "passes"),
        ("iv", 3, LOST_PEN_WINDOW, "fails"),
        ("v", 1, LOST_PEN_70, "passes"),
        ("tt_or_isolated", 1, LOST_PEN_TT, "passes"),
        ("none", 1, LOST_PEN_TT, "fails"),
    ],
)
def test_pme_outdoors_needs_one_of_the_options(recorded, phases, source, expected, reference):
    verdict = lost_pen_verdict(Earthing.TN_C_S, Place.OUTDOORS, LostPenAnswer(recorded), phases=phases)
    reference(source=source, expected=expected, got=verdict.answer.value)


def test_options_i_and_ii_whose_detail_is_from_memory_count_only_as_the_electrician_recorded_them():
    for recorded, phases in ((LostPenAnswer.BALANCED_THREE_PHASE, 3), (LostPenAnswer.EARTH_ELECTRODE, 1)):
        verdict = lost_pen_verdict(Earthing.TN_C_S, Place.OUTDOORS, recorded, phases=phases)
        assert verdict.answer is Answer.PASSES
    balanced = LostPenAnswer.BALANCED_THREE_PHASE
    assert lost_pen_verdict(Earthing.TN_C_S, Place.OUTDOORS, balanced, phases=1).answer is Answer.FAILS


@pytest.mark.parametrize(
    ("earthing", "place"),
    [
        (Earthing.TN_C_S, Place.OUTDOORS),
        (Earthing.NOT_KNOWN, Place.OUTDOORS),
        (Earthing.TN_C_S, Place.NOT_KNOWN),
        (Earthing.NOT_KNOWN, Place.NOT_KNOWN),
    ],
)
def test_pme_and_outdoors_without_a_recorded_answer_is_not_known(earthing, place):
    verdict = lost_pen_verdict(earthing, place, LostPenAnswer.NOT_RECORDED, phases=1)
    assert verdict.answer is Answer.NOT_KNOWN
    assert "a practitioner must decide" in verdict.working.steps[0].result


@pytest.mark.parametrize(
    ("earthing", "place"),
    [(Earthing.TN_S, Place.OUTDOORS), (Earthing.TT, Place.OUTDOORS), (Earthing.TN_C_S, Place.INDOORS)],
)
def test_elsewhere_the_question_does_not_arise(earthing, place):
    assert lost_pen_verdict(earthing, place, LostPenAnswer.NOT_RECORDED, phases=1).answer is Answer.PASSES


def test_no_recorded_way_is_never_a_pass_where_the_question_may_arise():
    for earthing, place in itertools.product(Earthing, Place):
        may_arise = earthing in (Earthing.TN_C_S, Earthing.NOT_KNOWN) and place is not Place.INDOORS
        for recorded in (LostPenAnswer.NONE, LostPenAnswer.NOT_RECORDED):
            assert (lost_pen_verdict(earthing, place, recorded, phases=1).answer is Answer.PASSES) != may_arise


def test_what_is_out_of_range_is_refused():
    for ask in (earth_rise_verdict, must_disconnect):
        with pytest.raises(Rejected, match="must lie between 0 and 500 V"):
            ask(Decimal(501))
    with pytest.raises(Rejected, match="phases"):
        lost_pen_verdict(Earthing.TT, Place.OUTDOORS, LostPenAnswer.NONE, phases=2)


def test_within_the_window_nothing_has_to_disconnect():
    assert disconnection_verdict(230, None).answer is Answer.PASSES
