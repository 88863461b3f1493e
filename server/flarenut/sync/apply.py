"""Apply one mutation in a savepoint, or say for good why it cannot be applied."""

from datetime import UTC, datetime
from functools import cache
from typing import Any

import structlog
from marshmallow import Schema, ValidationError
from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError

from flarenut.db import db
from flarenut.errors import FlarenutError, Invalid, NotAllowed, NotFound, Refused, shape_errors
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.shape import LARGEST_CHANGE_BYTES, size_bytes
from flarenut.sync.catalogue import MUTATIONS, Kind
from flarenut.sync.change import Change
from flarenut.sync.mutation import Mutation
from flarenut.sync.plain import is_storable
from flarenut.sync.receipts import Result
from flarenut.sync.unknown import unknown_in
from flarenut.sync.versions import check_version, raised_to_newest

log = structlog.get_logger(__name__)

LARGEST_REV = 2**62

# The database is busy or away: nothing is wrong with the mutation, and nothing is acknowledged.
TRANSIENT = (OperationalError, InterfaceError)


def apply_mutation(mutation: Mutation, *, actor: Actor, job: Job | None) -> Result:
    """Applied and stamped, or undone to the last row and explained."""
    rev = job.rev if job is not None else 0
    try:
        with db.session.begin_nested():
            return apply_outright(mutation, actor=actor, job=job)
    except TRANSIENT:
        raise
    except ValidationError as error:
        message = "Some fields are missing or out of their limits."
        return _aside("set_aside", rev, code="invalid", message=message, fields=shape_errors(error))
    except (Refused, NotAllowed, NotFound) as error:
        return _aside("refused", rev, code=error.code, message=error.message, fields=error.fields)
    except FlarenutError as error:
        return _aside("set_aside", rev, code=error.code, message=error.message, fields=error.fields)
    except DBAPIError as error:
        log.warning("mutation_not_storable", type=mutation.type[:60], id=str(mutation.id), kind=type(error).__name__)
        return _aside("set_aside", rev, code="not_storable", message="This does not fit what is stored already.")
    except Exception:
        log.exception("mutation_failed", type=mutation.type[:60], id=str(mutation.id))
        return _aside("set_aside", rev, code="server_error", message="The server could not work with this. It is kept.")


def _aside(outcome: str, rev: int, *, code: str, message: str, fields: dict[str, Any] | None = None) -> Result:
    return Result(outcome=outcome, rev=rev, detail={"code": code, "message": message, "fields": fields or {}})


def apply_outright(mutation: Mutation, *, actor: Actor, job: Job | None) -> Result:
    """Applied and stamped. What is wrong with it is raised, and whoever called has to undo it."""
    kind = _understand(mutation, actor=actor)
    change = _change(mutation, actor=actor, job=job)
    fields = _fields(kind, mutation)
    change.table, change.unknown = kind.table, unknown_in(fields, shape=kind.shape, table=kind.table)
    kind.verb(change, fields)
    if change.unknown and not kind.creates:
        change.set_unknown(change.need(kind.table, change.entity))
    if job is not None:
        job.rev = change.rev
    detail = {"fields": sorted(change.two_valued_fields)} if change.outcome == "two_values" else None
    return Result(outcome=change.outcome, rev=change.rev, detail=detail)


def _understand(mutation: Mutation, *, actor: Actor) -> Kind:
    if _is_too_large(mutation):
        raise Invalid("too_large", f"One change may have at most {LARGEST_CHANGE_BYTES:,} bytes.")
    if not is_storable(mutation.body):
        raise Invalid("not_text", "A text holds a character that cannot be stored (NUL or half a character).")
    kind = MUTATIONS.get(mutation.type)
    if kind is None:
        raise Invalid("unknown_type", "This server does not know that kind of change.")
    check_version(mutation.body.get("v"), newest=kind.v)
    if actor.role not in kind.roles:
        raise NotAllowed("not_allowed", f"A {actor.role} may not do this.")
    return kind


def _is_too_large(mutation: Mutation) -> bool:
    """In plain ASCII, which is there already, it is never shorter."""
    return len(mutation.text) > LARGEST_CHANGE_BYTES and size_bytes(mutation.body) > LARGEST_CHANGE_BYTES


def _change(mutation: Mutation, *, actor: Actor, job: Job | None) -> Change:
    entity, base_rev = mutation.entity, mutation.body.get("base_rev")
    if entity is None:
        raise Invalid("invalid", "The change does not say what it is about.", {"entity": ["must be an id"]})
    if not isinstance(base_rev, int) or isinstance(base_rev, bool) or not 0 <= base_rev <= LARGEST_REV:
        raise Invalid("invalid", "The change does not say what it builds on.", {"base_rev": ["must be 0 or more"]})
    device_time = mutation.body.get("device_time")
    return Change(
        actor=actor,
        job=job,
        rev=job.rev + 1 if job is not None else 1,
        entity=entity,
        type=mutation.type,
        base_rev=base_rev,
        at=datetime.now(UTC),
        device_time=device_time if isinstance(device_time, str) else None,
    )


def _fields(kind: Kind, mutation: Mutation) -> dict[str, Any]:
    fields = mutation.body.get("fields")
    if not isinstance(fields, dict):
        raise Invalid("invalid", "The change has no fields.", {"fields": ["must be an object"]})
    newest = raised_to_newest(fields, kind=mutation.type, v=mutation.body["v"], newest=kind.v)
    loaded: dict[str, Any] = _reader(kind.shape).load(newest)
    return loaded


@cache
def _reader(shape: type[Schema]) -> Schema:
    """Making one takes longer than reading with it."""
    return shape()
