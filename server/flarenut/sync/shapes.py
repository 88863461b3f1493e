"""Shapes of a push and a pull. A push is read leniently: a bad mutation must not stop its neighbours."""

import json
from typing import Any

from marshmallow import EXCLUDE, INCLUDE, Schema, fields, post_load, pre_load, validate

from flarenut.people.shapes import Moment

OUTCOMES = ("applied", "merged", "two_values", "refused", "set_aside")
LARGEST_SEQ = 2**31 - 1


class MutationIn(Schema):
    """Only its id and its place must be readable; everything else is judged later, one by one."""

    class Meta:
        unknown = INCLUDE

    id = fields.UUID(required=True)
    seq = fields.Integer(required=True, strict=True, validate=validate.Range(min=1, max=LARGEST_SEQ))
    type = fields.Raw(allow_none=True, metadata={"type": "string", "description": "one of the types of mutation"})
    v = fields.Raw(allow_none=True, metadata={"type": "integer", "description": "version of the type"})
    entity = fields.Raw(
        allow_none=True, metadata={"type": "string", "format": "uuid", "description": "the row it is about"}
    )
    base_rev = fields.Raw(
        allow_none=True, metadata={"type": "integer", "description": "highest rev of that row known, 0 if new"}
    )
    fields_ = fields.Raw(allow_none=True, data_key="fields", metadata={"type": "object", "description": "by type"})
    device_time = fields.Raw(
        allow_none=True, metadata={"type": "string", "format": "date-time", "description": "shown, never used"}
    )
    app = fields.Raw(allow_none=True, metadata={"type": "string", "description": "version of the app"})
    replaces = fields.Raw(
        allow_none=True,
        metadata={"type": "string", "format": "uuid", "description": "what was set aside and is sent again with this"},
    )

    @pre_load
    def keep_whole(self, data: Any, **_kwargs: Any) -> Any:
        """Beside what is read of it, keep all of it as it came."""
        return {**data, "_whole": dict(data)} if isinstance(data, dict) else data

    @post_load
    def only_the_frame(self, data: dict[str, Any], **_kwargs: Any) -> dict[str, Any]:
        """The id, the place, and the whole."""
        return {"id": data["id"], "seq": data["seq"], "body": data["_whole"]}


class LaneIn(Schema):
    """What a phone has to say about one job."""

    class Meta:
        unknown = EXCLUDE

    job_id = fields.UUID(required=True)
    mutations = fields.List(fields.Nested(MutationIn), required=True)


class PushIn(Schema):
    """What a phone has to say."""

    class Meta:
        unknown = EXCLUDE

    device_id = fields.UUID(required=True)
    lanes = fields.List(fields.Nested(LaneIn), required=True, validate=validate.Length(max=100))


class ErrorCode(Schema):
    """Why a lane stopped, or why its work was kept aside."""

    code = fields.String()
    message = fields.String()


class ReceiptOut(Schema):
    """What became of one mutation."""

    id = fields.UUID()
    seq = fields.Integer()
    outcome = fields.String(validate=validate.OneOf(OUTCOMES))
    rev = fields.Integer()
    detail = fields.Dict(allow_none=True)


class LaneOut(Schema):
    """What one lane is told. `last_seq` is null when nothing could be read of it."""

    job_id = fields.UUID()
    last_seq = fields.Integer(allow_none=True)
    receipts = fields.List(fields.Nested(ReceiptOut))
    error = fields.Nested(ErrorCode, allow_none=True)


class PushOut(Schema):
    """One answer a lane."""

    lanes = fields.List(fields.Nested(LaneOut))


class DifferedIn(Schema):
    """A job of which a phone held other rows than the server, before it read it again."""

    class Meta:
        unknown = EXCLUDE

    job_id = fields.UUID(required=True)
    tables = fields.List(fields.String(validate=validate.Length(max=40)), validate=validate.Length(max=40))


class PullIn(Schema):
    """Where the phone stands in each job it knows. Jobs it does not name come from the start.

    With `mark`, the word that the last answer gave, it only asks whether anything changed.
    """

    class Meta:
        unknown = EXCLUDE

    device_id = fields.UUID(required=True)
    v = fields.Integer(load_default=1, metadata={"description": "which answers this app can read"})
    mark = fields.String(load_default=None, allow_none=True, validate=validate.Length(max=100))
    check = fields.List(
        fields.UUID(),
        load_default=list,
        validate=validate.Length(max=20),
        metadata={"description": "jobs whose checksums are wanted, if nothing is left to read of them"},
    )
    differed = fields.List(fields.Nested(DifferedIn), load_default=list, validate=validate.Length(max=20))
    cursors = fields.List(
        fields.String(validate=validate.Length(max=500)), load_default=list, validate=validate.Length(max=5000)
    )
    limit = fields.Integer(load_default=500, validate=validate.Range(min=1, max=10000))  # fmt: skip


class RowOut(Schema):
    """One row; its fields are those of its table."""

    table = fields.String()
    id = fields.UUID()
    job_id = fields.UUID()
    rev = fields.Integer()
    fields_ = fields.Dict(data_key="fields")


class RemovalOut(Schema):
    """A row that its reader may no longer see."""

    table = fields.String()
    id = fields.UUID()


class JobOut(Schema):
    """What changed in one job."""

    job_id = fields.UUID()
    state = fields.String(validate=validate.OneOf(("patch", "reset", "gone")))
    rows = fields.List(fields.Nested(RowOut))
    removals = fields.List(fields.Nested(RemovalOut))
    cursor = fields.String(allow_none=True)
    more = fields.Boolean()
    last_seq = fields.Integer()


class PullOut(Schema):
    """What changed. No jobs: nothing did."""

    jobs = fields.List(fields.Nested(JobOut))
    people_rev = fields.Integer()
    mark = fields.String(metadata={"description": "send it back to ask whether anything changed"})
    ended = fields.Boolean(metadata={"description": "there where you are of the company no more: hand over, let go"})
    changed = fields.Boolean(metadata={"description": "only to a mark: ask again, with cursors"})
    epoch = fields.UUID(metadata={"description": "another one after a restore from a backup; to cursors only"})
    aside = fields.String(metadata={"description": "differs when the list of set-aside work did; empty for none"})
    sums = fields.Dict(metadata={"description": "{job: {table: checksum of its ids and revisions}}"})


class Body(fields.Field[Any]):
    """A mutation that was kept as text, given back as it came."""

    def _serialize(self, value: Any, attr: str | None, obj: Any, **kwargs: Any) -> Any:
        return json.loads(value)


class SetAsideItem(Schema):
    """One mutation that waits for its author."""

    id = fields.UUID()
    job_id = fields.UUID()
    device_id = fields.UUID()
    seq = fields.Integer(metadata={"description": "its place in the lane of that device on that job"})
    type = fields.String()
    entity = fields.UUID(allow_none=True)
    outcome = fields.String()
    detail = fields.Dict()
    at = Moment()
    mutation = Body(attribute="body")


class SetAsideAsked(Schema):
    """Where to go on: after the last item of the answer before."""

    class Meta:
        unknown = EXCLUDE

    after = fields.UUID(load_default=None, metadata={"description": "id of the last item that is known"})


class SetAsideOut(Schema):
    """What of one's own could not be taken, newest first. `more`: ask again after the last one.

    Read to its end it is complete: what was on it and is no more has been dealt with, where the epoch is the same.
    """

    items = fields.List(fields.Nested(SetAsideItem))
    more = fields.Boolean()
    settled = fields.List(fields.UUID(), metadata={"description": "dealt with in the last 30 days; on the first page"})
    taken = fields.List(fields.UUID(), metadata={"description": "of these, what was taken by itself after all"})
    epoch = fields.UUID(metadata={"description": "another one after a restore from a backup"})


class SettledIn(Schema):
    """What its author has dealt with."""

    class Meta:
        unknown = EXCLUDE

    ids = fields.List(fields.UUID(), required=True, validate=validate.Length(max=200))
