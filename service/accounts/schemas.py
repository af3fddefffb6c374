"""JSON shapes of signing in."""

import marshmallow as ma

from service.infrastructure.http.fields import StrictSchema, Text


class SignInSchema(StrictSchema):
    """What a person types to sign in."""

    email = Text(required=True, max_length=254)
    password = Text(required=True, max_length=256, metadata={"format": "password"})


class AccountSchema(StrictSchema):
    """The person who is signed in."""

    name = ma.fields.String(required=True)
    email = ma.fields.String(required=True)


class SchemeSchema(StrictSchema):
    """The scheme the session is bound to."""

    id = ma.fields.String(required=True)
    name = ma.fields.String(required=True)


class SessionSchema(StrictSchema):
    """Who is signed in, in which scheme, with which roles."""

    account = ma.fields.Nested(AccountSchema, required=True)
    scheme = ma.fields.Nested(SchemeSchema, required=True)
    roles = ma.fields.List(ma.fields.String(), required=True)
    household_id = ma.fields.String(required=True, allow_none=True)
    demo_mail = ma.fields.Boolean(required=True, metadata={"description": "A page shows the mail this demo sends"})
