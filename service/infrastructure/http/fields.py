"""Fields that read strictly and document themselves truly, and the schema base that dumps fast.

JSON has no whole pence, no half-hours and no dates: each of those is a string or number with a stated pattern,
read into the integer that the rest of the service works with.  A field says ``write`` for how it dumps; a
``StrictSchema`` collects those once per instance instead of walking marshmallow's accessors for every value.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from enum import Enum
from typing import Any

import marshmallow as ma

from service.common.errors import Rejected
from service.common.money import format_pence, parse_pence
from service.infrastructure.http.strict_schema import StrictSchema as StrictSchema
from service.infrastructure.http.strict_schema import described, text_of
from service.infrastructure.http.time_fields import CalendarDate as CalendarDate
from service.infrastructure.http.time_fields import Instant as Instant
from service.infrastructure.http.time_fields import LocalTime as LocalTime

GREATEST_INTEGER = 2**53 - 1  # what every JSON reader holds exactly, RFC 8259 section 6
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")
_CONTROL_IN_LINES = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
_HEX32 = re.compile(r"[0-9a-f]{32}")


def _check_range(value: Any, minimum: Any, maximum: Any, unit: str = "") -> None:
    if minimum is not None and value < minimum:
        raise ma.ValidationError(f"Must be at least {minimum}{unit}.")
    if maximum is not None and value > maximum:
        raise ma.ValidationError(f"Must be at most {maximum}{unit}.")


class Text(ma.fields.String):
    """Text without control characters or half surrogates; with ``is_lines`` it may hold tabs and line ends."""

    def __init__(self, *, max_length: int, min_length: int = 0, is_lines: bool = False, **options: Any) -> None:
        self._forbidden = _CONTROL_IN_LINES if is_lines else _CONTROL
        # Half surrogates cannot be written in a pattern, nor in UTF-8.
        pattern = "^[^" + self._forbidden.pattern[1:].replace(r"\ud800-\udfff", "") + "*$"
        length = ma.validate.Length(min=min_length, max=max_length)
        super().__init__(validate=length, **described(options, pattern=pattern))

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        text = text_of(value)
        if self._forbidden.search(text):
            raise ma.ValidationError("Must not hold control characters.")
        return text

    write = None


class Id(ma.fields.String):
    """An identifier: 32 lower-case hexadecimal characters."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**described(options, pattern="^[0-9a-f]{32}$"))

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not _HEX32.fullmatch(text_of(value)):
            raise ma.ValidationError("Must be an id of 32 hexadecimal characters.")
        return str(value)

    write = None


class Choice(ma.fields.String):
    """One of a closed list: of strings, or of a string Enum (read as its member, written as its value)."""

    def __init__(self, choices: type[Enum] | Iterable[str], **options: Any) -> None:
        members = {str(getattr(member, "value", member)): member for member in choices}
        super().__init__(**described(options, enum=[*members, None] if options.get("allow_none") else [*members]))
        self._members: dict[str, Any] = members

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        if not isinstance(value, str) or value not in self._members:
            raise ma.ValidationError("Must be one of: " + ", ".join(self._members) + ".")
        return self._members[value]

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    @staticmethod
    def write(value: Any) -> Any:
        """Return the value of an Enum's member, and a string as it is."""
        return getattr(value, "value", value)


class Flag(ma.fields.Boolean):
    """true or false, and nothing that merely resembles them; in a query the words ``true`` and ``false``."""

    def __init__(self, *, is_query: bool = False, **options: Any) -> None:
        super().__init__(**options)
        self._is_query = is_query

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:
        if self._is_query and value in ("true", "false"):
            return bool(value == "true")
        if not isinstance(value, bool):
            raise ma.ValidationError("Must be true or false.")
        return value

    write = bool


class WholeNumber(ma.fields.Integer):
    """A whole JSON number inside bounds; strings, fractions and booleans are refused."""

    def __init__(self, *, minimum: int = 0, maximum: int = GREATEST_INTEGER, **options: Any) -> None:
        super().__init__(validate=ma.validate.Range(min=minimum, max=maximum), **options)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        is_whole = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_whole or not math.isfinite(value) or value != int(value):
            raise ma.ValidationError("Must be a whole number.")
        return int(value)

    write = int


class QueryNumber(WholeNumber):
    """A whole number in a query: digits and perhaps a minus sign."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        if not re.fullmatch(r"-?[0-9]{1,16}", str(value), re.ASCII):
            raise ma.ValidationError("Must be a whole number.")
        return int(value)


class Pence(ma.fields.Field):
    """A decimal string of pence, held as whole micro-pence; bounds are micro-pence too."""

    def __init__(self, *, minimum_up: int | None = None, maximum_up: int | None = None, **options: Any) -> None:
        sign = "" if minimum_up is not None and minimum_up >= 0 else "-?"
        pattern = rf"^{sign}[0-9]{{1,12}}(\.[0-9]{{1,6}})?$"
        super().__init__(**described(options, type="string", pattern=pattern, examples=["28.35"]))
        self._bounds_up = (minimum_up, maximum_up)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        try:
            up = parse_pence(text_of(value))
        except Rejected as error:
            rule = error.faults[0].rule
            raise ma.ValidationError(rule[:1].upper() + rule[1:] + ".") from error
        minimum_up, maximum_up = self._bounds_up
        if minimum_up is not None and up < minimum_up:
            raise ma.ValidationError(f"Must be at least {format_pence(minimum_up)} pence.")
        if maximum_up is not None and up > maximum_up:
            raise ma.ValidationError(f"Must be at most {format_pence(maximum_up)} pence.")
        return up

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else format_pence(value)

    write = staticmethod(format_pence)


class DecimalText(ma.fields.Field):
    """A decimal string held as ``Decimal``: miles, percentages, miles per kWh."""

    def __init__(self, *, decimals: int, minimum: int | str = 0, maximum: int | str, **options: Any) -> None:
        self._bounds = Decimal(minimum), Decimal(maximum)
        sign = "-?" if self._bounds[0] < 0 else ""
        fraction = rf"(\.[0-9]{{1,{decimals}}})?" if decimals else ""
        pattern = f"{sign}[0-9]{{1,12}}{fraction}"
        self._pattern = re.compile(pattern)
        self._decimals = decimals
        super().__init__(**described(options, type="string", pattern=f"^{pattern}$"))

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Decimal:
        if not self._pattern.fullmatch(text_of(value)):
            raise ma.ValidationError(f"Must be a decimal number with at most {self._decimals} decimals.")
        number = Decimal(value)
        _check_range(number, *self._bounds)
        return number

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    @staticmethod
    def write(value: Decimal) -> str:
        """Return plain decimals without trailing zeros.

        >>> DecimalText.write(Decimal("42.50"))
        '42.5'
        """
        text = format(value, "f")
        return text.rstrip("0").rstrip(".") if "." in text else text


class ScaledNumber(ma.fields.Field):
    """A JSON number that is held as a whole number of a smaller unit, so that nothing is lost on the way."""

    scale: int
    unit: str

    def __init__(self, *, minimum: float | None = 0, maximum: float | None = None, **options: Any) -> None:
        bounds = {"minimum": minimum, "maximum": maximum}
        known = {name: bound for name, bound in bounds.items() if bound is not None}
        super().__init__(**described(options, type="number", **known))
        self._bounds = minimum, maximum

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or abs(value) > GREATEST_INTEGER:  # also catches infinity
            raise ma.ValidationError("Must be a number.")
        _check_range(value, *self._bounds, self.unit)
        scaled = Decimal(repr(value)) * self.scale
        if scaled != scaled.to_integral_value():
            raise ma.ValidationError(f"Must be a multiple of {Decimal(1) / self.scale}{self.unit}.")
        return int(scaled)

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    def write(self, value: int) -> float:
        """Return the number in the larger unit; whole ones without a fraction."""
        whole, rest = divmod(value, self.scale)
        return value / self.scale if rest else whole


class KilowattHours(ScaledNumber):
    """kWh in JSON, Wh inside."""

    scale, unit = 1000, " kWh"


class Percent(ScaledNumber):
    """Per cent in JSON, per mille inside."""

    scale, unit = 10, " %"


class TextMap(ma.fields.Dict):
    """An object of text by name, as the inputs of a working step are."""

    def __init__(self, **options: Any) -> None:
        super().__init__(keys=ma.fields.String(), values=ma.fields.String(), **options)

    write: Callable[[Mapping[str, str]], dict[str, str]] = dict
