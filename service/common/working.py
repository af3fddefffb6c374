"""The working behind a number: which inputs went in, under which rule, from which source.

A result is never shown without it. Values are text, as a person should read them, so that a
stored working still says what was meant after the code has moved on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Step:
    """One step: what was worked out, from what, by which rule and source, with what result."""

    what: str
    inputs: Mapping[str, str]
    rule: str
    source: str
    result: str

    def to_json(self) -> dict[str, object]:
        """Return the step as a value that json.dumps accepts."""
        return {
            "what": self.what,
            "inputs": dict(self.inputs),
            "rule": self.rule,
            "source": self.source,
            "result": self.result,
        }


@dataclass(frozen=True)
class Working:
    """Steps in the order they were taken."""

    steps: tuple[Step, ...] = field(default=())

    def plus(self, *steps: Step) -> Working:
        """Return the working with further steps at its end."""
        return Working(self.steps + steps)

    def to_json(self) -> list[dict[str, object]]:
        """Return the steps as a value that json.dumps accepts."""
        return [step.to_json() for step in self.steps]

    @classmethod
    def from_json(cls, value: Iterable[Mapping[str, object]]) -> Working:
        """Return the working that ``to_json`` wrote."""
        return cls(tuple(_step_from_json(item) for item in value))


def _step_from_json(item: Mapping[str, object]) -> Step:
    inputs = item["inputs"]
    if not isinstance(inputs, Mapping):
        raise TypeError("a step's inputs must be a mapping of names to text")
    return Step(
        what=str(item["what"]),
        inputs={str(name): str(text) for name, text in inputs.items()},
        rule=str(item["rule"]),
        source=str(item["source"]),
        result=str(item["result"]),
    )
