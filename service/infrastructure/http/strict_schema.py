"""The base of every schema: unknown names are refused, and dumping costs little.

Marshmallow asks each field for an accessor, a default and a serialiser for every value.  Here an instance works
out once how each field is written (``write`` on our own fields; None means "as it is") and then only reads and
writes.  What it cannot shorten (methods, hooks, foreign fields) goes the ordinary way.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import marshmallow as ma

Write = Callable[[Any], Any] | None
_STANDARD_WRITE: dict[type[ma.fields.Field[Any]], Write] = {
    ma.fields.String: str,
    ma.fields.Integer: int,
    ma.fields.Boolean: bool,
    ma.fields.Raw: None,
}


class StrictSchema(ma.Schema):
    """Refuses unknown names when loading; dumps from dictionaries or from anything with attributes."""

    class Meta:
        unknown = ma.RAISE

    def _serialize(self, obj: Any, *, many: bool = False) -> Any:
        if obj is None:
            return None
        if many:
            return [self._serialize(item) for item in obj]
        steps = self.__dict__.get("_dump_steps")
        if steps is None:
            steps = self.__dict__["_dump_steps"] = [self._dump_step(*item) for item in self.dump_fields.items()]
        is_dict = isinstance(obj, dict)
        result: dict[str, Any] = {}
        for key, attribute, write, field in steps:
            if field is not None:
                value = field.serialize(attribute, obj, accessor=self.get_attribute)
                if value is not ma.missing:
                    result[key] = value
                continue
            value = obj.get(attribute, ma.missing) if is_dict else getattr(obj, attribute, ma.missing)
            if value is ma.missing:
                continue
            result[key] = value if write is None or value is None else write(value)
        return result

    def _dump_step(self, name: str, field: ma.fields.Field[Any]) -> tuple[str, str, Write, ma.fields.Field[Any] | None]:
        """Return (key, attribute to read, how to write it, the field itself where it must go the ordinary way)."""
        key = name if field.data_key is None else field.data_key
        attribute = name if field.attribute is None else field.attribute
        try:
            if "." in attribute or not field._CHECK_ATTRIBUTE or field.dump_default is not ma.missing:
                raise LookupError(attribute)
            return key, attribute, _writer(field), None
        except LookupError:
            return key, name, None, field


def _writer(field: ma.fields.Field[Any]) -> Write:
    """Return how a field writes a value that is not None; LookupError where only the field itself knows."""
    if hasattr(field, "write"):
        return field.write  # type: ignore[no-any-return]
    if type(field) is ma.fields.List:
        inner = _writer(field.inner)
        return list if inner is None else lambda values: [None if v is None else inner(v) for v in values]
    if type(field) is ma.fields.Nested and isinstance(field.schema, StrictSchema):
        schema = field.schema
        if any(schema._hooks[hook] for hook in ("pre_dump", "post_dump")):
            raise LookupError(field)
        many = bool(schema.many or field.many)
        return lambda value: schema._serialize(value, many=many)
    return _STANDARD_WRITE[type(field)]


def described(options: dict[str, Any], **properties: Any) -> dict[str, Any]:
    """Put properties of the JSON schema under what the caller says in ``metadata``."""
    return {**options, "metadata": {**properties, **options.get("metadata", {})}}


def text_of(value: object) -> str:
    """Return a string, refusing whatever else JSON holds."""
    if not isinstance(value, str):
        raise ma.ValidationError("Must be a string.")
    return value
