"""The companies of the demo and their people. Run by itself, it makes nothing else: the tests begin there."""

from collections.abc import Iterable

from flask import Flask

from demo_seed.people import CLEO, COMPANY, OTHER_COMPANY, PEOPLE, DemoPerson
from flarenut.app import create_app
from flarenut.db import writing
from flarenut.people.verbs import add_person, enter_company_named


def make_companies(app: Flask) -> None:
    """Both companies, each behind its own wall."""
    _make_company(app, name=COMPANY, people=PEOPLE)
    _make_company(app, name=OTHER_COMPANY, people=(CLEO,))


def _make_company(app: Flask, *, name: str, people: Iterable[DemoPerson]) -> None:
    with app.app_context(), writing():
        company = enter_company_named(name)
        for person in people:
            who = {"email": person.email, "name": person.name, "password": person.password}
            add_person(company, **who, role=person.role)


if __name__ == "__main__":
    make_companies(create_app())
