"""Everyone who speaks in the story, each at a device of their own."""

from dataclasses import dataclass

from flask import Flask

from demo_seed.calendar import Calendar
from demo_seed.people import ANA, BEN, DEE
from demo_seed.site import Site, link_to
from demo_seed.voice import Voice


@dataclass(frozen=True, kw_only=True)
class Cast:
    """Ana runs the jobs, Ben and Dee are on them; a contractor joins by a link to one job."""

    app: Flask
    calendar: Calendar
    ana: Voice
    ben: Voice
    dee: Voice
    ids: dict[str, str]

    @classmethod
    def on_stage(cls, app: Flask, *, calendar: Calendar) -> "Cast":
        ana, ben, dee = (Voice.of_person(app, person=person) for person in (ANA, BEN, DEE))
        people = ana.client.get("/api/people", headers=ana.headers, base_url="https://localhost").get_json()
        ids = {person["name"]: person["id"] for person in people["people"]}
        return cls(app=app, calendar=calendar, ana=ana, ben=ben, dee=dee, ids=ids)

    def contractor_on(self, site: Site) -> Voice:
        """The contractor, come by a link that nobody else has."""
        return Voice.of_link(self.app, secret=link_to(site, by=self.ana))
