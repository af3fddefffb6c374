"""The drawing on paper: well formed, a word for every mark, nothing that runs."""

from dataclasses import replace
from xml.etree import ElementTree

from service.advice.documents.drive_svg import drive_svg
from service.advice.domain.siting.search import CarAtHome
from service.advice.domain.siting.verdict import site_outlet
from tests.factories.drives import simple_drive

CAR = CarAtHome("1" * 32, "the car", "front_left", 5.0)


def picture(label: str = "The drive", **changes: object) -> ElementTree.Element:
    drawing = simple_drive(**changes)
    return ElementTree.fromstring(drive_svg(label, drawing, site_outlet(drawing, [CAR], [], "england")))  # noqa: S314


def words(of: ElementTree.Element) -> list[str]:
    return [node.text or "" for node in of.iter("{http://www.w3.org/2000/svg}text")]


def test_every_thing_has_its_word_and_the_best_place_its_number() -> None:
    found = words(picture())
    for word in ("The drive", "wall 1", "door", "window", "By the house", "path", "public footway", "gas meter", "1"):
        assert word in found
    assert "consumer unit" in found
    assert any("certifies nothing" in line for line in found)


def test_nothing_in_it_runs_or_is_styled_from_elsewhere() -> None:
    for node in picture().iter():
        assert not node.tag.endswith(("script", "style", "foreignObject", "image"))
        assert not any(name.startswith("on") or name in ("style", "href") for name in node.attrib)


def test_a_label_cannot_become_markup() -> None:
    assert words(picture('<script>"&'))[0] == '<script>"&'


def test_a_drawing_without_an_answer_is_still_drawn() -> None:
    drawing = simple_drive()
    nothing = replace(site_outlet(drawing, [CAR], [], "england"), best=None, others=())
    assert "wall 1" in words(ElementTree.fromstring(drive_svg("The drive", drawing, nothing)))  # noqa: S314


def test_a_character_that_xml_cannot_hold_leaves_the_picture_well_formed() -> None:
    assert words(picture("The \uffff\ufffe drive"))[0] == "The  drive"
