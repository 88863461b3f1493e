"""A push: every lane by itself, so that one job never holds up another."""

import uuid
from dataclasses import replace
from typing import Any

import structlog
from flask import request
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from flarenut.db import writing
from flarenut.errors import TooLarge
from flarenut.people.actor import Actor
from flarenut.people.devices import is_own_device
from flarenut.photos.held import keep_what_is_here
from flarenut.sync.apply import TRANSIENT
from flarenut.sync.lanes import DEVICE_CLONED, push_lane
from flarenut.sync.mutation import Mutation

log = structlog.get_logger(__name__)

MOST_MUTATIONS = 100  # of one push
MOST_BYTES = 1_000_000  # of one push; a single mutation may be larger and is then kept aside

BUSY = {"code": "busy", "message": "The server was busy with this job. Send the same again in a moment."}
SERVER_ERROR = {
    "code": "server_error",
    "message": "Something went wrong here. Nothing of this job was taken; send the same again in a moment.",
}


def push(actor: Actor, *, device_id: uuid.UUID, lanes: list[dict[str, Any]]) -> dict[str, Any]:
    """Take each lane in a transaction of its own; jobs in the order of their ids."""
    _check_size(lanes)
    ordered = sorted(lanes, key=lambda lane: str(lane["job_id"]))
    announced: list[uuid.UUID] = []
    told = [_push_one(actor, device_id=device_id, lane=lane, announced=announced) for lane in ordered]
    if announced:
        keep_what_is_here(actor, announced=announced)
    return {"lanes": told}


def _check_size(lanes: list[dict[str, Any]]) -> None:
    """The phone halves what is too large. One mutation cannot be halved, and so it is always read."""
    count = sum(len(lane["mutations"]) for lane in lanes)
    if count > MOST_MUTATIONS:
        raise TooLarge("too_many", f"One push takes {MOST_MUTATIONS} changes; this had {count}.")
    if count > 1 and (request.content_length or 0) > MOST_BYTES:
        raise TooLarge("too_large", f"One push takes {MOST_BYTES:,} bytes.")


def _push_one(
    actor: Actor, *, device_id: uuid.UUID, lane: dict[str, Any], announced: list[uuid.UUID]
) -> dict[str, Any]:
    """What the lane is told; photos that it brought are added to those `announced` once they are taken."""
    job_id = lane["job_id"]
    mutations = [Mutation(id=sent["id"], seq=sent["seq"], body=sent["body"]) for sent in lane["mutations"]]
    try:
        with writing():
            if not is_own_device(actor, device_id=device_id):
                return _turned_away(job_id, device_id=device_id)
            # A copied phone speaks under a device id of its own and its twin's sign-in.
            speaker = replace(actor, device_id=device_id)
            answer = push_lane(speaker, device_id=device_id, job_id=job_id, mutations=mutations)
            told = answer.on_the_wire()
        announced += [made for made, kind in answer.made.items() if kind == "photo.add"]
    except (*TRANSIENT, PoolTimeout) as error:
        log.warning("lane_busy", job_id=str(job_id), kind=type(error).__name__)
        return _nothing_taken(job_id, error=BUSY)
    except DBAPIError as error:
        # What a mutation does wrong ends in its own savepoint. Whatever goes wrong around it is
        # ours: the phone keeps its numbers and its work, and the other lanes go on.
        log.exception("lane_failed", job_id=str(job_id), kind=type(error).__name__)
        return _nothing_taken(job_id, error=BUSY)
    except RecursionError:
        # One body that is nested too deeply: the request is refused, and the phone halves it until it finds that one.
        raise
    except Exception as error:
        log.exception("unexpected", job_id=str(job_id), kind=type(error).__name__)
        return _nothing_taken(job_id, error=SERVER_ERROR)
    return told


def _turned_away(job_id: uuid.UUID, *, device_id: uuid.UUID) -> dict[str, Any]:
    """The device id is someone else's: a copied store. Nothing is lost, the phone renumbers and comes back."""
    log.warning("device_cloned", device_id=str(device_id))
    return _nothing_taken(job_id, error=DEVICE_CLONED)


def _nothing_taken(job_id: uuid.UUID, *, error: dict[str, str]) -> dict[str, Any]:
    return {"job_id": str(job_id), "last_seq": None, "receipts": [], "error": error}
