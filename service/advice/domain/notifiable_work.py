"""What a nation's rules say about telling building control of electrical work: "not known" where they were not read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.common.calendar import Nation
from service.common.working import Step
from service.figures.domain.book import Standing

NOT_KNOWN: Final = "not_known"
"""The standing of a note whose rule nobody has read: it is no permission."""


@dataclass(frozen=True, slots=True)
class Note:
    """What is to be said, where it was read, and how sure that is: a ``Standing``'s word or ``NOT_KNOWN``."""

    words: str
    source: str
    standing: str

    @property
    def is_known(self) -> bool:
        """Tell whether the rule was read at all."""
        return self.standing != NOT_KNOWN

    def step(self, what: str = "Notifiable work") -> Step:
        """Return the step of a working that says what the rule is and where it was read."""
        standing = self.standing.replace("_", " ")
        source = f"{self.source} ({standing})" if self.source else standing
        return Step(what, {}, self.words, source, "for the electrician to confirm")


ENGLAND: Final = Note(
    "In England a new circuit (for a charging point or for a socket of its own) and a change of the consumer unit are"
    " notifiable: done by a registered competent person, checked by a third-party certifier, or told to building"
    " control before it starts. A socket or spur added to a circuit that exists is not, outside bathrooms, pools and"
    " saunas. Ask for the electrical certificate, and for the building compliance certificate where it is notifiable.",
    "Approved Document P as two public pages restate it",
    Standing.TWO_SOURCES,
)


def notifiable_work(nation: str) -> Note:
    """Return what is known of notifiable electrical work in a nation.

    Examples
    --------
    >>> notifiable_work("england").is_known, notifiable_work("wales").is_known
    (True, False)
    """
    if nation == Nation.ENGLAND:
        return ENGLAND
    named = nation.replace("_", " ").title()
    words = (
        f"Which electrical work must be notified in {named} is not known here: its rules differ from England's and were"
        " not read. Ask the electrician, or building control at the council, before any work starts."
    )
    return Note(words, "", NOT_KNOWN)
