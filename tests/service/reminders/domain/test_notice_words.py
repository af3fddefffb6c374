"""What a notice says in the app: at home what to do stands first, and no text outgrows its column."""

from datetime import date

from service.reminders.domain.news import DueItem, StopNews, StoppedThing
from service.reminders.domain.notice_words import LONGEST_TEXT, for_the_home, for_the_scheme, long_overdue

NEWS = StopNews("h", "H-7", True, ("Scorched",), (StoppedThing("Drive socket", ("an inspection",)),), ("End it.",))


def test_at_home_the_first_line_is_what_to_do() -> None:
    text = for_the_home(NEWS)
    assert text.splitlines()[:2] == ["Do this now:", "- End it."]
    assert "- Scorched" in text and "Drive socket must not be used. Lifted by:\n- an inspection" in text
    assert "H-7" not in text


def test_who_runs_the_scheme_reads_the_reference() -> None:
    assert for_the_scheme(NEWS).splitlines()[0] == "This was reported in the home H-7:"


def test_overdue_things_are_named_with_date_and_rule() -> None:
    text = long_overdue([DueItem("Drive socket", date(2026, 10, 1), "checked every month", -40)])
    assert "- Drive socket: due 1 October 2026. checked every month." in text


def test_a_text_is_cut_to_what_is_kept() -> None:
    assert len(for_the_home(StopNews("h", "H", True, ("x" * 5000,), (), ()))) == LONGEST_TEXT
