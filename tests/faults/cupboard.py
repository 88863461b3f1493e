"""The phones of a test that share its process: opened, copied, rolled back, and looked into."""

from pathlib import Path
from typing import Any

from flask import Flask
from sqlalchemy import Engine, text

from tests.builders import CastMember
from tests.builders.jobs import Job
from tests.builders.people import PASSWORD
from tests.faults.in_app import LossyLine, in_app
from tests.faults.journal import Journal
from tests.faults.lanes import new_id
from tests.faults.phone import Phone


class Cupboard:
    """Where the phones of a test lie; each opens on what its folder holds."""

    def __init__(self, app: Flask, folder: Path) -> None:
        self.app, self.folder = app, folder

    def path(self, name: str) -> Path:
        (self.folder / name).mkdir(parents=True, exist_ok=True)
        return self.folder / name / "journal"

    def open(self, name: str, *, whose: CastMember) -> Phone:
        phone = Phone(Journal(self.path(name)), ask=LossyLine(in_app(self.app)))
        assert phone.sign_in(email=whose.email, password=PASSWORD)
        assert phone.pull() == "done"
        return phone

    def reopen(self, name: str) -> Phone:
        """The app is started once more on the same phone."""
        return Phone(Journal(self.path(name)), ask=LossyLine(in_app(self.app)))


def raise_one(phone: Phone, job: Job, **changed: Any) -> str:
    issue = new_id()
    fields = {"unit_id": job.units["IU-1"], "category": "wiring", "words": "x", "who_must_act": "technician"}
    phone.write("issue.raise", job=job.id, entity=issue, fields={**fields, **changed})
    return issue


def issues_on(phone: Phone) -> set[str]:
    return {key.partition("/")[2] for key in phone.rows if key.startswith("issue/")}


def outcomes_of(phone: Phone) -> list[str]:
    return [one["outcome"] for one in sorted(phone.receipts.values(), key=lambda one: one["seq"])]


def lines_of_history(owner: Engine, kind: str) -> list[str]:
    """One for each line of that kind in the history of an issue."""
    with owner.connect() as connection:
        found = connection.scalars(text("SELECT issue_id FROM issue_event WHERE kind = :kind"), {"kind": kind})
        return sorted(str(issue_id) for issue_id in found)
