"""What happened in a year of reminders, as figures and as one line of words."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from tests.prove.reminder_homes import Story
from tests.prove.reminder_oracle import Expected


@dataclass
class Tally:
    """What happened on one database."""

    days: int = 0
    ticks: int = 0
    kills: Counter[str] = field(default_factory=Counter)
    in_doubt: dict[str, int] = field(default_factory=dict)
    waited: int = 0
    tried_again: int = 0
    repeats: int = 0
    letters: int = 0
    changes: int = 0
    took_s: float = 0.0
    faults: list[str] = field(default_factory=list)

    @property
    def doubtful(self) -> int:
        """Return how often a letter was handed over and its worker died before it marked it."""
        return sum(self.in_doubt.values())

    @property
    def inside(self) -> int:
        """Return the kills that struck inside a claim or a sending."""
        return sum(count for point, count in self.kills.items() if point != "outside")


def in_words(story: Story, asked: Expected, tally: Tally) -> str:
    """Return the line of figures."""
    return (
        f"{len(story.homes)} homes, {len(story.people)} people, {tally.days} days ({tally.ticks} instants, "
        f"{tally.changes} clock changes inside), 2 workers at once; "
        f"{len(asked.told_at)} times (item, due date, step, person) in {len(asked.reminders)} reminders, "
        f"{len(asked.risen)} letters to administrators and {len(asked.notices)} notices of what is long overdue; "
        f"{tally.letters} letters arrived, those that ask to ring included; "
        f"{sum(tally.kills.values())} kills, {tally.inside} of them inside a claim or a sending {dict(tally.kills)}, "
        f"lease waited for {tally.waited} times, sendings that ran out of time {tally.tried_again}; "
        f"handed over and not marked {tally.doubtful}, "
        f"raw repeats {tally.repeats}; {len(tally.faults)} faults; {tally.took_s:.0f} s"
    )
