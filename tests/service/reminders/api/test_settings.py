"""A person turns tips off and on again, and says which number to ring."""

from collections.abc import Callable
from typing import Any

import pytest

PATH = "/api/v1/mail_settings"


@pytest.fixture
def member(client: Callable[..., Any], scheme: str) -> Any:
    return client("administrator", scheme)


def put(client: Any, etag: str, **changes: Any) -> Any:
    body = {"tips_muted": False, "telephone": "", **changes}
    return client.put(PATH, json=body, headers={"If-Match": etag})


def test_tips_are_on_until_they_are_turned_off_and_on_again(member: Any) -> None:
    first = member.get(PATH)
    assert first.get_json() == {"tips_muted": False, "tips_muted_at": None, "telephone": ""}
    off = put(member, first.headers["ETag"], tips_muted=True, telephone="01632 960 003")
    assert off.get_json() == {
        "tips_muted": True, "tips_muted_at": "2026-11-25T12:00:00+00:00", "telephone": "01632 960 003"
    }  # fmt: skip
    on = put(member, off.headers["ETag"], telephone="01632 960 003")
    assert on.get_json()["tips_muted"] is False


def test_a_choice_made_from_an_old_copy_is_refused(member: Any) -> None:
    etag = member.get(PATH).headers["ETag"]
    put(member, etag, tips_muted=True)
    assert put(member, etag, telephone="01632 960 003").status_code == 412
    assert member.put(PATH, json={"tips_muted": True, "telephone": ""}).status_code == 428


def test_what_is_no_number_is_refused_by_name(member: Any) -> None:
    reply = put(member, "*", telephone="call me")
    assert reply.status_code == 422
    assert [error["pointer"] for error in reply.get_json()["errors"]] == ["#/telephone"]
