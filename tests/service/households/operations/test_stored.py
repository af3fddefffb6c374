"""Between checked values and rows."""

from service.households.domain.equipment import LeadKind
from service.households.domain.equipment_details import LeadDetails
from service.households.models import Lead
from service.households.operations.stored import fill, read_details
from tests.factories.households import lead_details


def test_a_row_is_filled_with_plain_words_and_read_back() -> None:
    lead = Lead()
    fill(lead, lead_details(kind=LeadKind.MODE_2))
    assert type(lead.kind) is str
    assert read_details(LeadDetails, lead) == lead_details()


def test_only_what_differs_counts_as_changed() -> None:
    lead = Lead()
    fill(lead, lead_details())
    assert fill(lead, lead_details(set_a=8)) == ("set_a",)
    assert fill(lead, lead_details(set_a=8)) == ()


def test_what_is_left_out_stays() -> None:
    lead = Lead()
    fill(lead, lead_details())
    assert fill(lead, lead_details(label="other", set_a=8), leaving_out=frozenset({"label"})) == ("set_a",)
    assert lead.label == "portable lead"
