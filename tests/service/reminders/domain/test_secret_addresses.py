"""A sealed address names one person for one purpose; nothing that was changed or made elsewhere opens anything."""

import base64

import pytest

from service.reminders.domain.secret_addresses import (
    MutedPerson,
    hashed_feed_token,
    mute_token,
    new_feed_token,
    read_mute_token,
    repeatable_feed_token,
)

KEY = "a secret of at least thirty-two characters"
ADA = MutedPerson("a" * 32, "b" * 32)


def test_a_sealed_address_names_its_person() -> None:
    token = mute_token(ADA, secret_key=KEY)
    assert read_mute_token(token, secret_key=KEY) == ADA
    assert token.replace("-", "").replace("_", "").isalnum()


def test_the_seal_of_another_key_opens_nothing() -> None:
    assert read_mute_token(mute_token(ADA, secret_key="another " + KEY), secret_key=KEY) is None


@pytest.mark.parametrize("position", range(0, 70, 3))
def test_an_address_with_one_character_changed_opens_nothing(position: int) -> None:
    token = mute_token(ADA, secret_key=KEY)
    changed = token[:position] + ("A" if token[position] != "A" else "B") + token[position + 1 :]
    # The last character holds two bits of content and four of padding.
    assert read_mute_token(changed, secret_key=KEY) in ((None, ADA) if position == 69 else (None,))


def test_the_seal_of_one_person_does_not_fit_another() -> None:
    own = base64.urlsafe_b64decode(mute_token(ADA, secret_key=KEY) + "==")
    other = base64.urlsafe_b64decode(mute_token(MutedPerson("a" * 32, "c" * 32), secret_key=KEY) + "==")
    mixed = base64.urlsafe_b64encode(other[:32] + own[32:]).decode().rstrip("=")
    assert read_mute_token(mixed, secret_key=KEY) is None


@pytest.mark.parametrize("token", ["", "x", "x" * 70, "x" * 71, "é" * 70, "../" * 24])
def test_what_is_no_token_opens_nothing(token: str) -> None:
    assert read_mute_token(token, secret_key=KEY) is None


def test_a_calendars_token_is_new_each_time_and_only_its_hash_is_for_keeping() -> None:
    tokens = {new_feed_token() for _ in range(50)}
    assert len(tokens) == 50
    hashes = {hashed_feed_token(token) for token in tokens}
    assert None not in hashes and len(hashes) == 50 and not hashes & tokens
    assert hashed_feed_token("short") is None


def test_a_repeated_request_gives_the_same_token_to_the_same_person_alone() -> None:
    first = repeatable_feed_token("a" * 32, "b" * 32, "key-1", secret_key=KEY)
    assert first == repeatable_feed_token("a" * 32, "b" * 32, "key-1", secret_key=KEY)
    assert hashed_feed_token(first) is not None
    others = [("c" * 32, "b" * 32, "key-1"), ("a" * 32, "c" * 32, "key-1"), ("a" * 32, "b" * 32, "key-2")]
    assert first not in [repeatable_feed_token(*other, secret_key=KEY) for other in others]
