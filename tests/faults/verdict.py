"""What must hold when all is said and sent. Each look gives a list of what is wrong, which must be empty."""

import json
from collections import Counter
from typing import Any

from tests.faults.database import Database
from tests.faults.phone import Phone

APPLIED = ("applied", "merged", "two_values")
Tables = dict[str, dict[str, Any]]
Row = dict[str, Any]


class Truth:
    """The server's side of a run, read past every wall."""

    def __init__(self, database: Database, *, jobs: list[str]) -> None:
        of_jobs = "WHERE job_id::text = ANY(%s)"
        self.jobs: dict[str, int] = {
            str(row["id"]): row["rev"]
            for row in database.rows("SELECT id, rev FROM job WHERE id::text = ANY(%s)", (jobs,))
        }
        self.receipts = database.rows(f"SELECT * FROM receipt {of_jobs} ORDER BY device_id, job_id, seq", (jobs,))
        self.lanes = database.rows(f"SELECT * FROM lane {of_jobs}", (jobs,))
        self.aside = {str(row["id"]): row for row in database.rows(f"SELECT * FROM set_aside {of_jobs}", (jobs,))}
        self.issues = {str(row["id"]): row for row in database.rows(f"SELECT * FROM issue {of_jobs}", (jobs,))}
        self.units = {str(row["id"]): row for row in database.rows(f"SELECT * FROM unit {of_jobs}", (jobs,))}
        self.events = database.rows(f"SELECT issue_id, kind FROM issue_event {of_jobs}", (jobs,))


def lost(truth: Truth, phones: list[Tables]) -> list[str]:
    """Whatever a phone was told is there, word for word; what was kept aside is kept whole."""
    known = {str(row["id"]): row for row in truth.receipts}
    wrong: list[str] = []
    for tables in phones:
        for receipt_id, told in tables.get("receipts", {}).items():
            row = known.get(receipt_id)
            if row is None or (row["outcome"], row["rev"], row["seq"]) != (told["outcome"], told["rev"], told["seq"]):
                wrong.append(f"{receipt_id} was told {told['outcome']}, and the server has {row}")
            elif told["outcome"] not in APPLIED and not _is_kept(truth, told["mutation"]):
                wrong.append(f"{receipt_id} was kept aside and is not whole")
    return wrong


def _is_kept(truth: Truth, mutation: Row) -> bool:
    row = truth.aside.get(mutation["id"])
    sent = {name: value for name, value in mutation.items() if name != "job_id"}
    return row is not None and json.loads(row["body"]) == sent


def twice(truth: Truth, phones: list[Tables]) -> list[str]:
    """Each change took one revision of its job and no other did; each issue has one line for each change of it."""
    wrong: list[str] = []
    for job, head in truth.jobs.items():
        revs = sorted(row["rev"] for row in truth.receipts if str(row["job_id"]) == job and row["outcome"] in APPLIED)
        if revs != list(range(1, head + 1)):
            wrong.append(f"job {job} stands at {head}, and its receipts name {len(revs)} revisions")
    told = [one for tables in phones for one in tables.get("receipts", {}).values() if one["outcome"] in APPLIED]
    for kind, line in (("issue.raise", "raised"), ("issue.set", "changed")):
        meant = Counter(one["mutation"]["entity"] for one in told if one["mutation"]["type"] == kind)
        there = Counter(str(event["issue_id"]) for event in truth.events if event["kind"] == line)
        wrong += [f"issue {issue} was {line} {there[issue]} times and not {meant[issue]}" for issue in meant | there
            if meant[issue] != there[issue]]  # fmt: skip
    return wrong


def out_of_order(truth: Truth) -> list[str]:
    """Each lane is dense from 1, and what was said later on a phone came later into the job."""
    wrong: list[str] = []
    for lane in truth.lanes:
        own = [
            row for row in truth.receipts if (row["device_id"], row["job_id"]) == (lane["device_id"], lane["job_id"])
        ]
        if [row["seq"] for row in own] != list(range(1, lane["last_seq"] + 1)):
            wrong.append(f"lane {lane['id']} ends at {lane['last_seq']} and has {len(own)} receipts")
        revs = [row["rev"] for row in own if row["outcome"] in APPLIED]
        if revs != sorted(revs):
            wrong.append(f"lane {lane['id']} was applied out of order")
    return wrong


def not_the_last_word(truth: Truth, phones: list[Tables]) -> list[str]:
    """Of two who set one field, the later arrival is current."""
    last: dict[tuple[str, str], tuple[int, str]] = {}
    for tables in phones:
        for told in tables.get("receipts", {}).values():
            mutation = told["mutation"]
            for field in ("words", "room"):
                if told["outcome"] in APPLIED and field in mutation["fields"]:
                    place = (mutation["entity"], field)
                    last[place] = max(last.get(place, (0, "")), (told["rev"], mutation["fields"][field]))
    now = {**truth.issues, **truth.units}
    return [
        f"{field} of {entity} should be {said!r}"
        for (entity, field), (_rev, said) in last.items()
        if entity not in now or now[entity][field] != said
    ]


def unlike_by_checksum(phones: dict[str, Phone]) -> list[str]:
    """What the server's own checksums say of every phone."""
    return [f"{name}: {place}" for name, phone in phones.items() for place in phone.differing()]


def unlike(phones: dict[str, Phone], *, fresh: Phone) -> list[str]:
    """Every phone holds the rows that a new one would be given: the same, at the same revision, with the same words."""
    return [
        f"{name} differs in {len(rows)} rows, such as {sorted(rows)[:3]}"
        for name, phone in phones.items()
        if (rows := {key for key in phone.rows | fresh.rows if phone.rows.get(key) != fresh.rows.get(key)})
    ]
