"""Named points where a test may kill the process, to show that nothing is lost or repeated.

``PLUGWARD_FAILPOINT=name:N`` sends SIGKILL at the Nth time the point is passed.  Without the
variable a point costs one dictionary look-up; production settings refuse to start with it.
"""

import os
import signal

_hits: dict[str, int] = {}
NAMES = (
    "event.fanned_out",
    "delivery.claimed",
    "delivery.before_commit",
    "delivery.committed",
    "run.created",
    "chunk.claimed",
    "chunk.planned",
    "chunk.before_commit",
    "chunk.committed",
    "mail.claimed",
    "mail.sent",
    "mail.marked",
)


def failpoint(name: str) -> None:
    """Kill this process if the environment asks for it here, at this many hits."""
    wanted = os.environ.get("PLUGWARD_FAILPOINT")
    if not wanted:
        return
    if name not in NAMES:
        raise ValueError(f"failpoint {name!r} is not in the list")
    point, _, hit = wanted.partition(":")
    if point == name:
        _hits[name] = _hits.get(name, 0) + 1
        if _hits[name] >= int(hit):
            os.kill(os.getpid(), signal.SIGKILL)
