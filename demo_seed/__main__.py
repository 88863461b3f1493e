"""Loads the demo once, into the server's own database, through the routes that the app uses.

Writes `demo.json` in the data folder when all of it is there; without that file the demo is not loaded.
"""

import json
import os
from datetime import UTC, datetime
from pathlib import Path

from demo_seed import small_jobs, tern_lane
from demo_seed.calendar import Calendar
from demo_seed.cast import Cast
from demo_seed.companies import make_companies
from demo_seed.people import BEN
from demo_seed.site import link_to
from flarenut.app import create_app
from flarenut.embedded import leave_in_order_when_asked


def tell_tern_lane(cast: Cast) -> str:
    """The main story; gives the secret of the contractor's link."""
    ben_id, calendar = cast.ids[BEN.name], cast.calendar
    site = tern_lane.set_up(cast.ana, calendar=calendar, ben_id=ben_id)
    tern_lane.first_visit(cast.ben, site=site, calendar=calendar)
    tern_lane.answers_come_in(cast.contractor_on(site), site=site, calendar=calendar)
    tern_lane.answers_are_looked_at(cast.ana, site=site, calendar=calendar, ben_id=ben_id)
    return link_to(site, by=cast.ana)


def main() -> None:
    app = create_app()
    make_companies(app)
    cast = Cast.on_stage(app, calendar=Calendar(datetime.now(UTC)))
    secret = tell_tern_lane(cast)
    for story in (
        small_jobs.ready_to_book,
        small_jobs.waiting,
        small_jobs.promise_passed,
        small_jobs.booked,
        small_jobs.not_begun,
    ):
        story(cast)
    keep = Path(app.config["FLARENUT_DATA"]) / "demo.json"
    handle = os.open(keep, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w") as file:
        json.dump({"link_secret": secret}, file)


if __name__ == "__main__":
    leave_in_order_when_asked()
    main()
