import pytest

from service.common.errors import (
    Conflict,
    Fault,
    Forbidden,
    NotFound,
    Rejected,
    ServiceError,
    TooMany,
    Unauthenticated,
)


@pytest.mark.parametrize("kind", [NotFound, Forbidden, Conflict, Unauthenticated])
def test_an_error_says_what_to_do_or_falls_back_on_its_title(kind):
    assert kind().detail == kind.title
    assert kind("Ask the administrator.").detail == str(kind("Ask the administrator.")) == "Ask the administrator."
    assert isinstance(kind(), ServiceError)


def test_titles_tell_the_kinds_apart():
    kinds = [NotFound, Forbidden, Conflict, Unauthenticated, TooMany, Rejected, ServiceError]
    assert len({kind.title for kind in kinds}) == len(kinds)


def test_too_many_says_how_long_to_wait():
    error = TooMany(30)
    assert error.retry_after_s == 30
    assert error.detail == "Try again in 30 seconds."


def test_a_rejection_keeps_every_fault_and_names_each_in_its_detail():
    error = Rejected(Fault("sheets.0.bands", 0, "must hold a band"), Fault("", None, "must be an object"))
    assert [fault.field for fault in error.faults] == ["sheets.0.bands", ""]
    assert error.detail == "sheets.0.bands: must hold a band; must be an object"


@pytest.mark.parametrize(
    ("prefix", "field", "path"), [("sheets.0", "bands.1", "sheets.0.bands.1"), ("", "a", "a"), ("a", "", "a")]
)
def test_a_fault_is_named_from_its_parent(prefix, field, path):
    assert Fault(field, 1, "must be 2").under(prefix) == Fault(path, 1, "must be 2")
