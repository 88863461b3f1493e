"""The number of questions that a list asks of the database does not grow with its rows."""

from collections.abc import Callable

import pytest

from tests.builders import CastMember, Phone, a_job, a_link, a_mutation, a_technician, an_issue, push
from tests.builders.jobs import Job
from tests.builders.questions import questions_asked

Enter = Callable[..., Phone]

More = Callable[[Phone, CastMember, Job], object]

LISTS: dict[str, More] = {
    "/api/people": lambda _phone, ana, _job: a_technician(company=ana.company_name),
    "/api/jobs/{job}/links": lambda _phone, ana, job: a_link(ana, job_id=job.id),
    "/api/jobs/{job}/plan": lambda phone, _ana, job: an_issue(phone, job=job),
    "/api/set-aside": lambda phone, _ana, job: push(phone, job.id, [a_mutation("issue.dance")]),
}


@pytest.mark.parametrize("path", LISTS)
def test_a_longer_list_asks_no_more(path: str, ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    address = path.format(job=job.id)
    LISTS[path](phone, ana, job)
    short = questions_asked(lambda: phone.get(address))
    length = len(phone.get(address).data)
    for _ in range(5):
        LISTS[path](phone, ana, job)

    long = questions_asked(lambda: phone.get(address))

    assert len(phone.get(address).data) > length
    assert long == short
