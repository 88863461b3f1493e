"""Ana's office, Ben's phone, their job, and the contractor's link: what most tests of a job begin with."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid5

from tests.builders import CastMember, Phone, a_job, a_link
from tests.builders.jobs import Job


@dataclass(frozen=True)
class Site:
    """One job and everyone who has to do with it."""

    office: Phone
    phone: Phone
    link: Phone
    job: Job
    ana: CastMember
    ben: CastMember

    def step_id(self, code: str, *, tag: str = "") -> str:
        """The id of a step, as every phone works it out for itself."""
        unit_id = self.job.units[tag] if tag else ""
        return str(uuid5(UUID(self.job.id), f"{self.job.system_id}:{code}:{unit_id}"))

    def step(self, code: str, *, tag: str = "") -> dict[str, Any]:
        """How a step stands, as Ana sees it."""
        found: dict[str, Any] = self.office.rows("step")[self.step_id(code, tag=tag)]
        return found


def a_site(client_as: Any, *, ana: CastMember, ben: CastMember) -> Site:
    """A job that Ana set up, Ben visits, and the contractor has a link to."""
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    link = client_as(a_link(ana, job_id=job.id))
    return Site(office=office, phone=phone, link=link, job=job, ana=ana, ben=ben)
