"""What became of a claim: its month and money, nothing of its trips."""

import pytest

from service.reminders.domain.claim_news import ClaimNews, ClaimTurn
from service.reminders.domain.news import Reader
from service.reminders.emails import claim_news

READER = Reader("Ada Finch", ("Rowan Ellery",))


@pytest.mark.parametrize(
    ("turn", "subject", "words"),
    [
        (ClaimTurn.QUERIED, "There is a question about your claim", "somebody has a question"),
        (ClaimTurn.APPROVED, "Your claim was approved", "it was approved"),
        (ClaimTurn.REFUSED, "Your claim was refused", "it was refused"),
    ],
)
def test_each_turn_has_its_words_and_leads_to_the_claim(turn: ClaimTurn, subject: str, words: str) -> None:
    message = claim_news(ClaimNews("c" * 32, turn, "October 2026", 7838), READER, base_url="https://charging.example")
    assert message.subject == subject
    text = " ".join(message.text.split())
    assert f"for October 2026, 78.38 pounds: {words}" in text
    assert f"https://charging.example/miles/{'c' * 32}" in message.html
    assert "Not tax advice" in text
    assert "Ask those who run your scheme: Rowan Ellery." in text


def test_what_is_taken_back_has_its_sign() -> None:
    news = ClaimNews("c" * 32, ClaimTurn.APPROVED, "October 2026", -4950)
    assert "-49.50 pounds" in claim_news(news, READER, base_url="https://charging.example").text
