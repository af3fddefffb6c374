"""What the shapes of homes share: exact decimals as JSON numbers, and changes as entries with gaps."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import marshmallow as ma

from service.infrastructure.http.fields import GREATEST_INTEGER


class DecimalNumber(ma.fields.Field):
    """A JSON number held as ``Decimal``, exactly as it was written."""

    def __init__(self, *, decimals: int, **options: Any) -> None:
        metadata = {"type": "number", "multipleOf": float(Decimal(1).scaleb(-decimals)), **options.pop("metadata", {})}
        super().__init__(metadata=metadata, **options)
        self._plain = re.compile(rf"-?[0-9]{{1,9}}(\.[0-9]{{1,{decimals}}})?")
        self._decimals = decimals

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Decimal:
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > GREATEST_INTEGER:
            raise ma.ValidationError("Must be a number.")
        text = repr(value).removesuffix(".0")
        if not self._plain.fullmatch(text):
            raise ma.ValidationError(f"Must be a number with at most {self._decimals} decimals.")
        return Decimal(text)

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    @staticmethod
    def write(value: Decimal) -> float:
        """Return a JSON number; whole ones without a fraction."""
        return int(value) if value == int(value) else float(value)


class Change:
    """Makes an entry schema one of changes: fields of its own may be left out, what is nested is sent whole."""

    _declared_fields: dict[str, ma.fields.Field[Any]]

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"partial": tuple(self._declared_fields), **options})  # type: ignore[call-arg]
