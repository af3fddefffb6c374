"""Run the long proofs, each in a process of its own, and print each one's line of figures.

``--minutes`` cuts them to fit: every proof gets its share of the time and says what it did in it.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from dataclasses import dataclass


@dataclass(frozen=True)
class Proof:
    """A module with ``main(..., budget_s)``, and its share of a cut run."""

    name: str
    share: float


PROOFS = (
    Proof("one_vehicle", 0.1),
    Proof("lockstep", 0.02),
    Proof("one_block", 0.1),
    Proof("late_starts", 0.03),
    Proof("shared_outlet", 0.07),
    Proof("shared_supply", 0.06),
    Proof("sixty_days", 0.04),
    Proof("safety_states", 0.1),
    Proof("drives", 0.05),
    Proof("smtp_faults", 0.15),
    Proof("reminder_year", 0.3),
    Proof("worker_kills", 0.25),
    Proof("browser_story", 0.05),
    Proof("page_quality", 0.15),
)


def main() -> int:
    """Run the chosen proofs and return how many failed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", help="one proof by name: " + ", ".join(proof.name for proof in PROOFS))
    parser.add_argument("--minutes", type=float, help="cut the proofs to about this long")
    asked = parser.parse_args()
    chosen = [proof for proof in PROOFS if asked.only in (None, proof.name)]
    if not chosen:
        parser.error(f"there is no proof {asked.only!r}")
    shares = sum(proof.share for proof in chosen)
    failed = 0
    started = time.monotonic()
    for proof in chosen:
        budget_s = None if asked.minutes is None else asked.minutes * 60 * proof.share / shares
        failed += _run(proof.name, budget_s) != 0
    print(f"proofs: {len(chosen) - failed} passed, {failed} failed, {time.monotonic() - started:.0f} s")
    return int(failed > 0)


def _run(name: str, budget_s: float | None) -> int:
    """Run one proof apart from this process: proofs fork, kill and measure memory."""
    call = f"import sys; from tests.prove.{name} import main; sys.exit(main(budget_s={budget_s!r}))"
    code = subprocess.run([sys.executable, "-c", call], check=False).returncode
    if code:
        print(f"{name}: FAILED with exit code {code}", flush=True)
    return code


if __name__ == "__main__":
    sys.exit(main())
