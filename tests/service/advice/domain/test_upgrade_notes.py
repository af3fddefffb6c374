"""What works take besides money: "not known" where nobody read it, and never a permission."""

from __future__ import annotations

from typing import Any

import pytest

from service.advice.domain.upgrade_notes import TAX, HomeFacts, NoteKind, takes_notes
from service.advice.domain.upgrade_works import POINTS, Upgrade
from service.households.domain.equipment import Earthing, LargeLoadKind, Place, YesNo
from service.households.domain.home_details import LargeLoad
from service.safety.domain.home_demand import ChargingOutlet, HomeDemand, SupplyDoubts, home_demand

ALL = tuple(Upgrade)
NO_DOUBT = SupplyDoubts(YesNo.NO, YesNo.YES, YesNo.NO, YesNo.NO, YesNo.NO)


def demand(limit_a: int, *, fuse_a: int | None = 100, doubts: SupplyDoubts = NO_DOUBT) -> HomeDemand:
    loads = [LargeLoad(kind, 0 if kind is not LargeLoadKind.LIGHTING else 500) for kind in LargeLoadKind]
    outlet = ChargingOutlet("drive", "charging_point", limit_a)
    return home_demand(loads, [outlet], fuse_a=fuse_a, is_looped=YesNo.NO, phases=1, doubts=doubts)


def notes(works: tuple[Upgrade, ...] = ALL, **changes: Any) -> dict[NoteKind, Any]:
    facts = HomeFacts(**{"nation": "england", "earthing": Earthing.TN_S, "place": Place.INDOORS, "phases": 1} | changes)
    found = takes_notes(works, facts, demand(32), demand(10))
    return {note.kind: note for note in reversed(found)}


def test_an_electrician_comes_first_for_every_work() -> None:
    (first, *_) = takes_notes(ALL, HomeFacts("wales", Earthing.TT, Place.OUTDOORS, 1), demand(32), None)
    assert first.kind is NoteKind.ELECTRICIAN and first.works == ALL
    assert "Nothing may be used before" in first.words


@pytest.mark.parametrize(("nation", "standing"), [("england", "two_sources"), ("wales", "not_known"),
                                                  ("scotland", "not_known"), ("northern_ireland", "not_known")])
def test_which_work_is_notifiable_was_read_for_england_alone(nation: str, standing: str) -> None:
    assert notes(nation=nation)[NoteKind.NOTIFIABLE].standing == standing


def test_the_network_operator_is_asked_first_with_what_is_not_known_named() -> None:
    unknown = demand(32, fuse_a=None, doubts=SupplyDoubts())
    found = takes_notes(POINTS, HomeFacts("england", Earthing.TN_S, Place.INDOORS, 1), unknown, None)
    (network,) = [note for note in found if note.kind is NoteKind.NETWORK]
    assert network.words.startswith("Ask the network operator before any work")
    assert "Not known so far:" in network.words and "unmetered supply" in network.words
    assert network.steps


def test_a_small_demand_on_a_supply_without_doubt_is_told_afterwards() -> None:
    assert "within 28 days" in notes()[NoteKind.NETWORK].words


@pytest.mark.parametrize("earthing", [Earthing.TN_C_S, Earthing.NOT_KNOWN])
def test_a_lost_conductor_is_asked_about_where_it_may_matter(earthing: Earthing) -> None:
    assert notes(earthing=earthing, place=Place.OUTDOORS)[NoteKind.LOST_PEN].standing == "not_known"
    assert NoteKind.LOST_PEN not in notes(earthing=earthing, place=Place.INDOORS)


def test_smart_points_are_ruled_in_great_britain_and_not_in_northern_ireland() -> None:
    assert "must be a smart one" in notes(nation="scotland")[NoteKind.SMART].words
    assert "not in Northern Ireland" in notes(nation="northern_ireland")[NoteKind.SMART].words
    assert notes()[NoteKind.SMART].works == POINTS


def test_a_new_circuit_has_a_certificate_of_its_own_and_a_swap_another() -> None:
    found = takes_notes(ALL, HomeFacts("england", Earthing.TN_S, Place.INDOORS, 1), demand(32), demand(10))
    papers = {note.works: note.words for note in found if note.kind is NoteKind.CERTIFICATE}
    assert "installation certificate" in papers[(Upgrade.DEDICATED_CIRCUIT, *POINTS)]
    assert "minor works" in papers[(Upgrade.EV_MARKED_SOCKET,)]


def test_tax_is_a_question_for_an_adviser_and_never_an_answer() -> None:
    assert TAX.words.startswith("A question for the employer's tax adviser, not an answer")
    assert "?" in TAX.words and "not tax advice" in TAX.words


def test_what_concerns_no_work_of_the_home_is_left_out() -> None:
    found = notes(POINTS)
    assert all(set(note.works) <= set(POINTS) for note in found.values())
