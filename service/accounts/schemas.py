"""JSON shapes of signing in."""

import marshmallow as ma

from service.infrastructure.http.fields import Flag, Id, StrictSchema, Text


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


class DutiesSchema(StrictSchema):
    """What an administrator does for safety."""

    is_safety_officer = Flag(required=True, metadata={"description": "Accepts inspections of other homes"})
    is_duty_contact = Flag(required=True, metadata={"description": "Is rung when a safety notice goes unread"})
    telephone = Text(load_default="", max_length=200)


class AdministratorSchema(DutiesSchema):
    """Somebody who runs the scheme."""

    account_id = Id()
    name = ma.fields.String()
    email = ma.fields.String()


class AdministratorListSchema(StrictSchema):
    """Those who run the scheme, by name."""

    items = ma.fields.List(ma.fields.Nested(AdministratorSchema))
