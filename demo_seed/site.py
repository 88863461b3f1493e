"""One site of the demo: what its sheet named, and the words in which a story speaks of it."""

import io
import uuid
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from demo_seed.calendar import SHIFT, SHIFT_S, wire_day, wire_time
from demo_seed.people import CONTRACTOR, CONTRACTOR_FIRM
from demo_seed.voice import ORIGIN, StoryError, Voice, new_id


@dataclass(kw_only=True)
class Site:
    """A job with its systems and units by tag, and its issues by the name the story gives them."""

    job: str
    systems: dict[str, str]
    units: dict[str, dict[str, Any]]
    issues: dict[str, str] = field(default_factory=dict)
    # The visit that is going on; what is raised or read belongs to it.
    visit: str | None = None

    def step(self, code: str, *, system: str, unit: str = "") -> str:
        """Steps are made by the server; anyone who knows the parts knows the id."""
        unit_id = self.units[unit]["id"] if unit else ""
        return str(uuid.uuid5(uuid.UUID(self.job), f"{self.systems[system]}:{code}:{unit_id}"))

    def mark(self, by: Voice, *, code: str, system: str, at: datetime, units: tuple[str, ...] = ("",)) -> None:
        for unit in units:
            step = self.step(code, system=system, unit=unit)
            by.say("step.mark", job=self.job, entity=step, at=at, state="done", note="")

    def plan_visit(self, by: Voice, *, person_id: str, purpose: str, at: datetime, starts_at: datetime) -> str:
        visit = new_id(at)
        when = {"starts_at": wire_time(starts_at), "planned_s": SHIFT_S}
        who = {"purpose": purpose, "person_id": person_id, "note": ""}
        by.say("visit.plan", job=self.job, entity=visit, at=at, **who, **when)
        self.visit = visit
        return visit

    def raise_issue(self, by: Voice, name: str, *, at: datetime, unit: str, picture: str = "", **facts: Any) -> None:
        """`facts`: category, words, action, evidence, stops; and only where it matters who must act, due day."""
        issue = self.issues[name] = new_id(at)
        defaults = {"stops": [], "opens_circuit": False, "who_must_act": "contractor", "due_on": None}
        fields = {**defaults, **facts, "unit_id": self.units[unit]["id"], "visit_id": self.visit}
        by.say("issue.raise", job=self.job, entity=issue, at=at, **fields)
        if picture:
            by.show(picture, job=self.job, at=at, issue_id=issue)

    def fixed(self, by: Voice, name: str, *, at: datetime, words: str, picture: str = "") -> None:
        said = {"words": words, "fixed": True, "promised_on": None}
        by.say("issue.answer", job=self.job, entity=self.issues[name], at=at, **said)
        if picture:
            by.show(picture, job=self.job, at=at, issue_id=self.issues[name])

    def promised(self, by: Voice, name: str, *, at: datetime, words: str, day: datetime) -> None:
        said = {"words": words, "fixed": False, "promised_on": wire_day(day)}
        by.say("issue.answer", job=self.job, entity=self.issues[name], at=at, **said)

    def tell(self, by: Voice, kind: str, about: str, *, at: datetime, **fields: Any) -> None:
        by.say(kind, job=self.job, entity=self.issues[about], at=at, **fields)

    def close_visit(self, by: Voice, *, at: datetime, summary: dict[str, Any], note: str) -> None:
        by.say("visit.close", job=self.job, entity=str(self.visit), at=at, summary=summary, note=note)
        self.visit = None


def open_site(by: Voice, *, name: str, address: str, sheet: str, at: datetime) -> Site:
    """Reads the sheet as the dispatcher's screen does, and makes the job from what it found."""
    upload = {"sheet": (io.BytesIO(sheet.encode()), "as_built.csv")}
    path = "/api/as-built/check"
    answer = by.client.post(path, data=upload, headers=by.headers, base_url=ORIGIN)
    read = answer.get_json()
    if answer.status_code != 200 or read["errors"]:  # noqa: PLR2004 -- the one status that means read.
        raise StoryError(f"The sheet of {name} was not read: {read}")
    job = new_id(at)
    fields = {"name": name, "address": address, "contractor_firm": CONTRACTOR_FIRM, "invented": True}
    parts = {"systems": read["systems"], "units": read["units"]}
    by.say("job.create", job=job, entity=job, at=at, **fields, time_zone=str(at.tzinfo), **SHIFT, **parts)
    systems = {system["tag"]: system["id"] for system in read["systems"]}
    return Site(job=job, systems=systems, units={unit["tag"]: unit for unit in read["units"]})


def link_to(site: Site, *, by: Voice) -> str:
    """The secret of a new link for the contractor; this is the only time it is seen."""
    words = {"firm": CONTRACTOR_FIRM, "recipient": CONTRACTOR, "days": 30}
    return str(by.post(f"/api/jobs/{site.job}/links", words)["secret"])
