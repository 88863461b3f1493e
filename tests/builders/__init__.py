"""What tests are made of. A builder shows what matters to the test and fills in the rest."""

from tests.builders.jobs import a_job, a_sheet, a_visit, an_issue
from tests.builders.people import CastMember, Link, a_company, a_dispatcher, a_link, a_technician, end
from tests.builders.phones import Phone, a_mutation, new_id, push

__all__ = [
    "CastMember",
    "Link",
    "Phone",
    "a_company",
    "a_dispatcher",
    "a_job",
    "a_link",
    "a_mutation",
    "a_sheet",
    "a_technician",
    "a_visit",
    "an_issue",
    "end",
    "new_id",
    "push",
]
