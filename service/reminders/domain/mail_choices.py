"""What a person may choose about mail to them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from service.common.errors import Fault, Rejected

LONGEST_NUMBER = 40
_NUMBER = re.compile(r"\+?[0-9][0-9 ()-]{5,38}")


@dataclass(frozen=True)
class MailChoices:
    """Tips on or off, and the number to ring about safety; empty: none.  Raises ``Rejected``."""

    tips_muted: bool
    telephone: str = ""

    def __post_init__(self) -> None:
        if self.telephone and not _NUMBER.fullmatch(self.telephone):
            rule = "must be a telephone number: 6 digits or more, with spaces, hyphens or brackets between them"
            raise Rejected(Fault("telephone", self.telephone, rule))
