"""A number to ring looks like one, or there is none."""

import pytest

from service.common.errors import Rejected
from service.reminders.domain.mail_choices import MailChoices


@pytest.mark.parametrize("number", ["", "01632 960001", "+44 (0)1632-960001", "999000"])
def test_a_number_or_none_is_taken(number: str) -> None:
    assert MailChoices(False, number).telephone == number


@pytest.mark.parametrize("number", ["12345", "call me", "+", "01632 960001; rm", "0" * 41, "٠١٢٣٤٥٦"])
def test_anything_else_is_refused_by_name(number: str) -> None:
    with pytest.raises(Rejected) as caught:
        MailChoices(False, number)
    assert [fault.field for fault in caught.value.faults] == ["telephone"]
