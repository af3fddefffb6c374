"""The message with a link tells an electrician what is asked, and tells nobody's name or address."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from service.infrastructure.mail.message import compose
from service.safety import emails
from service.safety.operations import LinkLetter

URL = "https://plugward.example/inspect#" + "s" * 43


def letter(**changes: object) -> LinkLetter:
    usual = {
        "scheme_name": "Marlpit <Works> & Sons",
        "electrician_name": "Hollin",
        "url": URL,
        "days": (date(2026, 11, 26), date(2026, 12, 1)),
        "expires_at": datetime(2026, 7, 1, 22, 30, tzinfo=UTC),
        "zone": ZoneInfo("Europe/London"),
        "is_correction": False,
    }
    return LinkLetter(**{**usual, **changes})  # type: ignore[arg-type]


def test_it_tells_the_days_the_end_and_what_spends_the_link() -> None:
    rendered = emails.inspection_link(letter())
    for words in (
        "Hello Hollin,", URL, "Thursday 26 November 2026, Tuesday 1 December 2026",
        "The link holds until Wednesday 1 July 2026, 23:30.", "spent when you submit", "nobody here verifies it",
    ):  # fmt: skip
        assert words in rendered.text
    assert "Marlpit &lt;Works&gt; &amp; Sons" in rendered.html
    assert f'<a href="{URL}">' in rendered.html


def test_a_correction_asks_for_one_and_without_a_name_nobody_is_named() -> None:
    rendered = emails.inspection_link(letter(is_correction=True, electrician_name=""))
    assert (rendered.subject, rendered.text.startswith("Hello,\n")) == ("Correct an inspection", True)
    assert "opens in the form on its day" not in rendered.text


def test_names_forge_no_line_and_no_header() -> None:
    rendered = emails.inspection_link(letter(electrician_name="A\r\nBcc: x@y.example", scheme_name="B\u2028C"))
    assert "\nBcc" not in rendered.text
    assert "\u2028" not in rendered.text + rendered.html
    compose(
        sender="charging@plugward.example", to="a@wiring.example", subject=rendered.subject, text=rendered.text,
        html=rendered.html, message_id="<x@plugward.example>",
    )  # fmt: skip
