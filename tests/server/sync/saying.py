"""One change as a phone makes it, with whatever fields; its receipt."""

from typing import Any

from tests.builders import Phone, a_mutation, push
from tests.server.site import Site

Fields = dict[str, Any]


def say(phone: Phone, job_id: str, mutation: Fields) -> Fields:
    """What became of it."""
    receipt: Fields = push(phone, job_id, [mutation])["receipts"][0]
    return receipt


def set_issue(site: Site, phone: Phone, issue_id: str, fields: Fields, *, base_rev: int = 10_000) -> Fields:
    """Set fields of an issue; the words go along, so that it is a good change in any case."""
    mutation = {**a_mutation("issue.set", issue_id, base_rev=base_rev), "fields": fields}
    return say(phone, site.job.id, mutation)
