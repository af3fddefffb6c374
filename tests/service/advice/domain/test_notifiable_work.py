from collections.abc import Callable

import pytest

from service.advice.domain.notifiable_work import NOT_KNOWN, notifiable_work
from service.common.calendar import Nation


@pytest.mark.reference
def test_a_new_circuit_is_notifiable_in_england(record_property: Callable[[str, object], None]) -> None:
    note = notifiable_work(Nation.ENGLAND)
    record_property("source", note.source)
    record_property("expected", "a new circuit and a consumer unit change are notifiable")
    record_property("got", note.words)
    assert "new circuit" in note.words
    assert "consumer unit are notifiable" in note.words
    assert note.is_known


@pytest.mark.parametrize("nation", [each for each in Nation if each is not Nation.ENGLAND])
def test_where_the_rules_were_not_read_nothing_is_said_to_be_allowed(nation: Nation) -> None:
    note = notifiable_work(nation)
    assert (note.is_known, note.standing, note.source) == (False, NOT_KNOWN, "")
    assert "not known" in note.words


def test_a_note_stands_in_a_working_with_how_sure_it_is() -> None:
    assert notifiable_work("england").step().source.endswith("(two sources)")
    assert notifiable_work("scotland").step().source == "not known"
