"""When the site can be ready, by the clock and by the shift."""

from typing import Any

import pytest

from tests.trade.jobs import HOUR_S, Job, local, moment, work_of
from tests.trade.runtimes import error_of, result_of
from tests.trade.sites import a_repair, a_site, a_step


def test_work_of_people_stops_for_the_weekend_and_a_hold_runs_through_it() -> None:
    friday = a_site(
        "2026-12-04 14:30",
        steps=[a_step("brazing", hours=2), a_step("hold", hours=24, calendar="clock")],
    )

    plan = result_of("return_plan", friday)

    assert local(work_of(plan, "brazing")["finish_s"]) == "Mon 07 08:00"
    assert local(work_of(plan, "hold")["finish_s"]) == "Sat 05 14:30"


def test_a_hold_is_not_started_when_nobody_is_there() -> None:
    evening = a_site("2026-12-01 20:00", steps=[a_step("hold", hours=24, calendar="clock")])

    plan = result_of("return_plan", evening)

    assert local(work_of(plan, "hold")["start_s"]) == "Wed 02 07:00"


def test_on_the_night_the_clocks_go_back_a_hold_of_24_hours_ends_an_hour_earlier_by_the_wall() -> None:
    saturday = a_site(
        "2026-10-31 12:00",
        shift={"shift_start": "07:00", "shift_end": "15:30", "shift_days": [1, 2, 3, 4, 5, 6]},
        steps=[
            a_step("hold", hours=24, calendar="clock"),
            a_step("charge", hours=1, needs=["hold"]),
        ],
    )

    plan = result_of("return_plan", saturday)

    assert local(work_of(plan, "hold")["finish_s"]) == "Sun 01 11:00"
    assert local(work_of(plan, "charge")["start_s"]) == "Mon 02 07:00"


def test_a_night_shift_over_the_lost_hour_is_an_hour_shorter() -> None:
    saturday = a_site(
        "2026-03-07 22:00",
        shift={"shift_start": "22:00", "shift_end": "06:00", "shift_days": [6, 7]},
        steps=[a_step("brazing", hours=8)],
    )

    plan = result_of("return_plan", saturday)

    # Seven hours until Sunday 06:00, the eighth in the next night.
    assert local(plan["ready_at"]) == "Sun 08 23:00"


def test_a_promised_date_is_kept_to_the_end_of_its_shift() -> None:
    site = a_site(
        "2026-12-01 10:00",
        steps=[a_step("charge", hours=1)],
        issues=[a_repair("leak", hours=1, stops=["charge"], promised_at=moment("2026-12-03 09:00"))],
    )

    plan = result_of("return_plan", site)

    assert local(work_of(plan, "repair:leak")["finish_s"]) == "Thu 03 15:30"
    assert local(plan["ready_at"]) == "Fri 04 08:00"
    assert plan["reasons"] == []


def test_a_broken_promise_is_said_and_the_repair_planned_from_now() -> None:
    site = a_site(
        "2026-12-01 10:00",
        steps=[a_step("charge", hours=1)],
        issues=[a_repair("leak", hours=1, stops=["charge"], promised_at=moment("2026-11-30 09:00"))],
    )

    plan = result_of("return_plan", site)

    assert local(work_of(plan, "repair:leak")["finish_s"]) == "Tue 01 11:00"
    assert [reason["code"] for reason in plan["reasons"]] == ["promise_overdue"]
    assert plan["waits_for"][0]["overdue"] is True


def test_what_the_job_waits_for_comes_worst_first() -> None:
    stops = {"stops": ["charge"]}
    site = a_site(
        "2026-12-01 10:00",
        steps=[a_step("charge", hours=1), a_step("hold", hours=24)],
        issues=[
            a_repair("soon", hours=1, promised_at=moment("2026-12-02 09:00"), **stops),
            a_repair("late", hours=1, promised_at=moment("2026-12-09 09:00"), **stops),
            a_repair("silent", hours=1, **stops),
            a_repair("broken", hours=1, promised_at=moment("2026-11-30 09:00"), **stops),
        ],
    )

    waits = result_of("return_plan", site)["waits_for"]

    assert [wait["issue_id"] or wait["group_id"] for wait in waits] == [
        "broken",
        "silent",
        "late",
        "soon",
        "hold",
    ]


def test_one_crew_does_one_repair_after_the_other_and_two_crews_both_at_once() -> None:
    site = a_site(
        "2026-12-01 10:00",
        steps=[a_step("charge", hours=1, who="technician")],
        issues=[a_repair("left", hours=2, stops=["charge"]), a_repair("right", hours=2)],
    )
    site["issues"][1]["stops"] = ["charge"]

    alone = result_of("return_plan", site)
    together = result_of("return_plan", {**site, "crew": {"contractor": 2}})

    assert local(alone["ready_at"]) == "Tue 01 14:00"
    assert local(together["ready_at"]) == "Tue 01 12:00"
    assert alone["ready_at_best"] == together["ready_at"]


def test_a_crew_that_is_still_on_a_repair_does_nothing_else_meanwhile() -> None:
    site = a_site(
        "2026-12-01 07:00",
        steps=[
            a_step("open_valves", hours=1, who="technician"),
            a_step("charge", hours=1, needs=["open_valves"]),
        ],
        issues=[a_repair("hanger", hours=4)],
    )

    plan = result_of("return_plan", site)

    assert local(work_of(plan, "visit")["start_s"]) == "Tue 01 07:00"
    assert local(work_of(plan, "repair:hanger")["finish_s"]) == "Tue 01 11:00"
    assert local(work_of(plan, "charge")["start_s"]) == "Tue 01 11:00"


def test_a_visit_that_does_not_fit_today_starts_tomorrow_morning() -> None:
    site = a_site("2026-12-01 13:00", steps=[a_step("test_run", hours=4, who="technician")])

    plan = result_of("return_plan", site)

    assert local(plan["ready_at"]) == "Tue 01 13:00"
    assert local(plan["visit_start_at"]) == "Wed 02 07:00"
    assert plan["state"] == "to_book"


def test_a_visit_longer_than_a_shift_is_said_to_be_so() -> None:
    site = a_site("2026-12-01 13:00", steps=[a_step("test_run", hours=10, who="technician")])

    plan = result_of("return_plan", site)

    assert local(plan["visit_start_at"]) == "Wed 02 07:00"
    assert local(work_of(plan, "visit")["finish_s"]) == "Thu 03 08:30"
    assert [reason["code"] for reason in plan["reasons"]] == ["visit_longer_than_shift"]


def test_work_that_needs_the_technician_first_is_told_as_a_wait_within_the_visit() -> None:
    site = a_site(
        "2026-12-01 07:00",
        steps=[
            a_step("open_valves", hours=1, who="technician"),
            a_step("preheat", hours=2, calendar="clock", needs=["open_valves"]),
            a_step("test_run", hours=1, who="technician", needs=["preheat"]),
        ],
    )

    plan = result_of("return_plan", site)

    assert plan["visit_s"]["likely"] == 2 * HOUR_S
    assert local(work_of(plan, "visit")["finish_s"]) == "Tue 01 11:00"
    assert [reason["code"] for reason in plan["reasons"]] == ["waits_during_visit"]


def test_what_to_bring_is_named_once() -> None:
    gauge = {"bring": ["bring.pressure_gauge"], "who": "technician"}
    site = a_site(
        "2026-12-01 07:00",
        steps=[a_step("test_run", hours=1, **gauge), a_step("measure", hours=1, **gauge)],
    )

    assert result_of("return_plan", site)["bring"] == ["bring.pressure_gauge"]


def test_the_plan_of_a_job_is_the_return_plan_of_its_steps() -> None:
    job = Job()
    job.mark_all(but=("charge", "preheat", "test_run", "port_check", "measure", "record"))
    job.mark_all(but=("test_run",))
    job.raise_issue("drain", on="L1", category="drain")

    plan = job.plan()

    # Repair of the drain, likely 1 h from Tuesday 10:00; then proof 0.25 h and two test runs.
    assert local(plan["ready_at"]) == "Tue 01 11:00"
    assert plan["visit_s"]["likely"] == (0.25 + 2 + 2) * HOUR_S
    assert local(plan["visit_start_at"]) == "Tue 01 11:00"


@pytest.mark.parametrize(
    ("path", "value", "code", "field"),
    [
        (("now",), None, "missing", "now"),
        (("now",), "noon", "not_a_number", "now"),
        (("now",), -1, "out_of_range", "now"),
        (("zone",), None, "missing", "zone"),
        (("zone", "utc_offset_s"), 1e6, "out_of_range", "zone.utc_offset_s"),
        (("zone", "utc_offset_s"), 0.5, "not_a_number", "zone.utc_offset_s"),
        (("shift", "shift_start"), "7 am", "not_a_choice", "shift.shift_start"),
        (("shift", "shift_start"), "25:00", "out_of_range", "shift.shift_start"),
        (("shift", "shift_end"), "07:10", "contradictory", "shift.shift_end"),
        (("shift", "shift_days"), [], "not_a_choice", "shift.shift_days"),
        (("shift", "shift_days"), [8], "out_of_range", "shift.shift_days[0]"),
        (("crew",), {"contractor": 0}, "out_of_range", "crew.contractor"),
        (("steps", 0, "who"), "nobody", "not_a_choice", "steps[0].who"),
        (("steps", 0, "needs"), ["gone"], "not_a_choice", "steps[0].needs"),
        (("steps", 0, "needs"), ["charge"], "contradictory", "steps[0].needs"),
        (("steps", 0, "duration_s", "low"), 9e9, "out_of_range", "steps[0].duration_s.low"),
        (("steps", 0, "duration_s", "low"), 7200, "contradictory", "steps[0].duration_s.likely"),
        (("issues",), {}, "not_a_choice", "issues"),
        (("issues",), ["leak"], "not_a_choice", "issues[0]"),
    ],
)
def test_a_bad_input_is_named(path: tuple[Any, ...], value: Any, code: str, field: str) -> None:
    site = a_site("2026-12-01 10:00", steps=[a_step("charge", hours=1)])
    place: Any = site
    for part in path[:-1]:
        place = place[part]
    place[path[-1]] = value

    error = error_of("return_plan", site)

    assert (error["code"], error["field"]) == (code, field)
