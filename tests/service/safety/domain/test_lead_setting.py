"""A setting that a photo shows must be one that the lead can have."""

import pytest

from service.common.errors import Rejected
from service.safety.domain.lead_setting import SettingShown


@pytest.mark.parametrize(("shown", "rated", "settings"), [(6, 10, ()), (10, 10, ()), (8, 13, (6, 8, 10, 13))])
def test_a_setting_of_the_lead_is_taken(shown: int, rated: int, settings: tuple[int, ...]) -> None:
    assert SettingShown(shown, rated, settings).shown_a == shown


@pytest.mark.parametrize(
    ("shown", "rated", "settings", "rule"),
    [
        (5, 10, (), "between 6 A and the rated 10 A"),
        (13, 10, (), "between 6 A and the rated 10 A"),
        (9, 13, (13, 6, 8), "to have the settings 6, 8, 13 A"),
    ],
)
def test_another_current_is_refused_by_name(shown: int, rated: int, settings: tuple[int, ...], rule: str) -> None:
    with pytest.raises(Rejected, match=rule) as error:
        SettingShown(shown, rated, settings)
    assert [(fault.field, fault.value) for fault in error.value.faults] == [("shown_a", shown)]
