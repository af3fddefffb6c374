import re

from service.common.ids import new_id


def test_ids_are_32_hexadecimal_characters_and_never_repeat():
    ids = {new_id() for _ in range(1000)}
    assert len(ids) == 1000
    assert all(re.fullmatch("[0-9a-f]{32}", one) for one in ids)
