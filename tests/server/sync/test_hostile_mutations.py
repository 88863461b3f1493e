"""Whatever a phone sends in a field, the answer is a receipt: never a crash, never a stopped lane."""

from typing import Any

import pytest

from flarenut.sync.catalogue import MUTATIONS
from tests.builders import a_job, a_mutation, a_visit, an_issue, push
from tests.builders.phones import Phone

DEEP: Any = []
for _ in range(200):
    DEEP = [DEEP]

HOSTILE: list[Any] = [
    None,
    True,
    0,
    -1,
    2**70,
    1e308,
    "",
    "\x00",
    "\ud800",
    "x" * 20_000,
    "'; DROP TABLE issue; --",
    "2026-13-45",
    "9999-99-99T99:99:99Z",
    [],
    [None],
    {},
    {"a": {"b": None}},
    [{"id": 7, "kind": [], "tag": {}}],
    DEEP,
]


@pytest.fixture(name="office")
def _office(client_as: Any, ana: Any) -> Phone:
    phone: Phone = client_as(ana)
    return phone


@pytest.mark.parametrize("kind", sorted(MUTATIONS))
def test_hostile_fields_get_a_receipt_and_the_lane_goes_on(kind: str, office: Phone, ben: Any) -> None:
    job = a_job(office)
    entity = {
        "issue": an_issue(office, job=job),
        "visit": a_visit(office, job=job, person=ben),
        "step": next(iter(office.rows("step"))),
        "unit": next(iter(office.rows("unit"))),
    }
    names = sorted(MUTATIONS[kind].shape().fields)
    on = entity.get(kind.split(".", maxsplit=1)[0], "")
    before = len(office.rows("issue"))

    for hostile in HOSTILE:
        sent = [a_mutation(kind, on, **dict.fromkeys(names, hostile))]
        sent += [a_mutation(kind, on, **{name: hostile}) for name in names]
        answer = push(office, job.id, sent)
        assert [receipt["id"] for receipt in answer["receipts"]] == [one["id"] for one in sent]

    good = push(office, job.id, [a_mutation("unit.set", entity["unit"], place="Still alive")])
    assert good["receipts"][0]["outcome"] in {"applied", "merged", "two_values"}
    assert len(office.rows("issue")) == before
