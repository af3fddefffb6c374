"""Fields that the shapes of this feature share."""

from __future__ import annotations

from typing import Any

import marshmallow as ma

from service.infrastructure.http.fields import DecimalText, Text


class Repeated(ma.fields.List):
    """A name of a query that may stand several times; a fault is the name's, for a query has no positions."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[Any]:
        try:
            return super()._deserialize(value, attr, data, **kwargs)
        except ma.ValidationError as error:
            raise ma.ValidationError("Each must be text without control characters, and not too long.") from error


def month_field(**options: Any) -> Text:
    """Return the field of a month "2026-11"."""
    return Text(max_length=7, metadata={"description": "A month, YYYY-MM", "examples": ["2026-11"]}, **options)


def miles_field(**options: Any) -> DecimalText:
    """Return the field of miles with one decimal; ranges are the domain's."""
    return DecimalText(decimals=1, minimum=-999_999_999, maximum=999_999_999, **options)
