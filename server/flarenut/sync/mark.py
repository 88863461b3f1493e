"""Which database this is, and one short word for all that somebody may see of it.

A phone that says the word it was last given, and is right, is told in a few bytes that nothing has
changed, however many jobs it holds.
"""

import hashlib
import uuid

from sqlalchemy import String, literal_column, select

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.people.tables import Company

# Written anew by every restore from a dump (the tables get new numbers), by a restore to a point in time (a
# new timeline) and by a move to another server. A data folder that is copied back as files keeps all three:
# then `flarenut db restored` gives the companies a new epoch.
THIS_DATABASE = literal_column(
    "concat_ws('.', (SELECT system_identifier FROM pg_control_system()),"
    " (SELECT timeline_id FROM pg_control_checkpoint()), 'public.company'::regclass::oid)",
    String,
)


def epoch_in(database: str, *, of_company: uuid.UUID) -> uuid.UUID:
    """What a cursor is good for: differs once the database is not the one that the phones knew."""
    return uuid.uuid5(of_company, database)


def epoch_now(actor: Actor) -> uuid.UUID:
    """Of the database that this is answered from."""
    asked = select(Company.epoch, THIS_DATABASE).where(Company.id == actor.company_id)
    company_epoch, database = db.session.execute(asked).one()
    return epoch_in(database, of_company=company_epoch)


def mark_of(actor: Actor, *, epoch: uuid.UUID, heads: dict[uuid.UUID, int], people_rev: int, aside: str) -> str:
    """The same for as long as nothing has changed that this one may see."""
    jobs = ",".join(f"{job_id}:{head}" for job_id, head in heads.items())
    whole = f"{actor.role}|{epoch}|{people_rev}|{aside}|{jobs}"
    return hashlib.sha256(whole.encode()).hexdigest()[:24]
