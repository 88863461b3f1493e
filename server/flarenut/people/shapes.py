"""Shapes of what is sent and answered about people."""

from typing import Any

from marshmallow import EXCLUDE, Schema, ValidationError, fields, validate

from flarenut.people.passwords import LONGEST
from flarenut.sync.plain import is_storable, text_time


def _check_storable(said: str) -> None:
    if not is_storable(said):
        raise ValidationError("holds a character that cannot be stored; type it again")


def _typed(*, low: int, high: int, **more: Any) -> fields.String:
    """Text of a certain length, of characters that a database and a hash can take."""
    return fields.String(validate=[validate.Length(min=low, max=high), _check_storable], **more)


_DAYS = validate.Range(min=1, max=180, error="must be between 1 and 180 days")  # P: a long start-up


class Moment(fields.Field[Any]):
    """A moment on its way out, as every time on the wire is written."""

    def _serialize(self, value: Any, attr: str | None, obj: Any, **kwargs: Any) -> str | None:
        return None if value is None else text_time(value)


class Shape(Schema):
    """Unknown fields are passed over: an older server still understands a newer phone."""

    class Meta:
        unknown = EXCLUDE


class SignIn(Shape):
    """What a person types, and the phone it is typed on."""

    email = _typed(low=3, high=254, required=True)
    password = _typed(low=1, high=LONGEST, required=True)
    device_id = fields.UUID(required=True)
    device_name = _typed(low=0, high=120, load_default="")


class PersonOut(Shape):
    """A person as colleagues see them."""

    id = fields.UUID()
    name = fields.String()
    role = fields.String()


class CompanyOut(Shape):
    """The company on whose side of the wall the caller is."""

    id = fields.UUID()
    name = fields.String()


class LinkPublic(Shape):
    """A link as its holder sees it."""

    id = fields.UUID()
    firm = fields.String()
    recipient = fields.String()
    job_id = fields.UUID()
    expires_at = Moment()


class Me(Shape):
    """Who is signed in: a person, or the holder of a link."""

    person = fields.Nested(PersonOut)
    link = fields.Nested(LinkPublic)
    company = fields.Nested(CompanyOut)
    device_id = fields.UUID()


class People(Shape):
    """Everyone who can be given a visit."""

    people = fields.List(fields.Nested(PersonOut))


class OpenLink(Shape):
    """The secret from the address, and the phone it was opened on."""

    secret = _typed(low=20, high=100, required=True)
    device_id = fields.UUID(required=True)


class NewLink(Shape):
    """Who a new link is for, and for how long."""

    firm = _typed(low=1, high=120, required=True)
    recipient = _typed(low=1, high=120, required=True)
    days = fields.Integer(load_default=30, validate=_DAYS)


class LinkOut(Shape):
    """A link as the company sees it. The secret is not among it: nobody has it any more."""

    id = fields.UUID()
    firm = fields.String()
    recipient = fields.String()
    created_at = Moment()
    expires_at = Moment()
    revoked_at = Moment()
    last_opened_at = Moment()


class LinkMade(Shape):
    """A link just made, with its secret, which is shown this once."""

    link = fields.Nested(LinkOut)
    secret = fields.String()
    url = fields.String()
    qr_svg = fields.String()


class LinkAnswer(Shape):
    """One link."""

    link = fields.Nested(LinkOut)


class Links(Shape):
    """Every link of a job."""

    links = fields.List(fields.Nested(LinkOut))


class Done(Shape):
    """It happened."""

    ok = fields.Boolean()
