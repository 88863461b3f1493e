"""How far a phone has read one job. Opaque to the phone; checked here whenever it comes back."""

import base64
import hashlib
import hmac
import json
import uuid
from dataclasses import dataclass, replace
from typing import Any

from flask import current_app

from flarenut.errors import Invalid

# After every id there can be: the page with this key ends its revision.
LAST_ID = uuid.UUID(int=2**128 - 1)
LARGEST_REV = 2**62

NO_EPOCH = uuid.UUID(int=0)  # of no database
SIGNATURE_LENGTH = 32  # 128 bits in hexadecimal


@dataclass(frozen=True, kw_only=True)
class Cursor:
    """Everything up to (rev, page_id) has been read; `until` was the head when it was handed out.

    `since` was the head when the reader began: what went out of sight before, they never held.
    """

    job: uuid.UUID
    epoch: uuid.UUID
    rev: int
    until: int
    since: int
    page_id: uuid.UUID = LAST_ID

    def text(self) -> str:
        """As the phone keeps it, signed: whoever names an earlier `since` would be told what left before they came."""
        return base64.urlsafe_b64encode(json.dumps([*self._parts(), self.signature()]).encode()).decode()

    def signature(self) -> str:
        """What nobody can work out who does not know the server's secret."""
        key, said = current_app.config["SECRET_KEY"].encode(), json.dumps(self._parts())
        return hmac.new(key, b"cursor:" + said.encode(), hashlib.sha256).hexdigest()[:SIGNATURE_LENGTH]

    def _parts(self) -> list[Any]:
        page = None if self.page_id == LAST_ID else str(self.page_id)
        return [str(self.job), str(self.epoch), self.rev, self.until, self.since, page]

    @property
    def is_mid_page(self) -> bool:
        """More was waiting when it was handed out."""
        return self.rev < self.until or self.page_id != LAST_ID


def read_cursor(text: str) -> Cursor:
    """The cursor that a phone sent back, or a clear word that it is none of ours.

    One that is not signed with today's secret is as good as one of another database: it says which job the
    phone holds, and nothing of how far.
    """
    try:
        job, epoch, rev, until, since, page, *signed = json.loads(base64.urlsafe_b64decode(text))
        cursor = Cursor(
            job=uuid.UUID(job),
            epoch=uuid.UUID(epoch),
            rev=int(rev),
            until=int(until),
            since=int(since),
            page_id=uuid.UUID(page) if page else LAST_ID,
        )
    except (ValueError, TypeError, AttributeError, OverflowError) as error:
        raise _not_ours() from error
    if not (0 <= cursor.rev <= cursor.until <= LARGEST_REV and 0 <= cursor.since <= cursor.until):
        raise _not_ours()
    said = str(signed[0]) if signed else ""
    is_signed = hmac.compare_digest(said.encode(errors="replace"), cursor.signature().encode())
    return cursor if is_signed else replace(cursor, epoch=NO_EPOCH)


def _not_ours() -> Invalid:
    return Invalid("invalid", "A cursor is not one that this server gave.", {"cursors": ["not a cursor"]})


def from_the_start(job: uuid.UUID, *, epoch: uuid.UUID, head: int) -> Cursor:
    """Nothing has been read yet."""
    return Cursor(job=job, epoch=epoch, rev=0, until=head, since=head)
