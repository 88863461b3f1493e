"""Switches of branch boxes: which port is used, which is not, and which is not there at all."""

from . import ranges, verdicts

NAME = "port_switches"
WHAT = "Per board and position of each branch box: used, unused or absent"

# A box comes as boards with a fixed number of positions. Where its ports are no multiple of
# that, the last positions of the last board have no port; they must be switched out like the
# unused ones (P).
MOST_PORTS = 64  # Twice the largest box of this trade (P).
MOST_BOXES = 256  # More on one site is a slip (P).
USED = "used"
UNUSED = "unused"
ABSENT = "absent"
COMMON = "common practice"

INPUTS = [
    ("boxes", "", True, "list of {box, ports, ports_per_board, used}"),
    ("boxes[].box", "", True, "a name used once, an id or a tag"),
    ("boxes[].ports", "", True, "how many ports the box has, 1 to 64"),
    ("boxes[].ports_per_board", "", True, "positions on one board, 1 to 64"),
    ("boxes[].used", "", True, "numbers of the ports with a unit, counted from 1"),
]
OUTPUTS = [
    ("boxes", "", "list of {box, boards, switch_out}"),
    ("boxes[].boards", "", "list of {board, positions: [{position, port, state}]}, from 1"),
    ("boxes[].switch_out", "", "list of {board, position, port}: port is null where there is none"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]
CAUTIONS = ["caution.electric", "caution.height"]


def port_switches(data: dict[str, object]) -> dict[str, object]:
    """The position of every switch, box by box."""
    rows = ranges.records(data, "boxes")
    if not 1 <= len(rows) <= MOST_BOXES:
        raise ranges.out_of_range("boxes", low=1, high=MOST_BOXES, unit="boxes")
    boxes: list[dict[str, object]] = []
    reasons: list[dict[str, object]] = []
    names: list[str] = []
    for index, row in enumerate(rows):
        where = ranges.place("boxes", index=index) + "."
        name = ranges.text(row, "box", where=where)
        if name in names:
            raise ranges.contradictory(where + "box", message=name + " is in the list twice")
        names.append(name)
        boxes.append(_box(row, name=name, where=where, reasons=reasons))
    return {
        "boxes": boxes,
        "reasons": reasons,
        "next": ["next.switch_out_positions"] if any(box["switch_out"] for box in boxes) else [],
        "cautions": list(CAUTIONS),
    }


def _box(
    row: dict[str, object], *, name: str, where: str, reasons: list[dict[str, object]]
) -> dict[str, object]:
    ports = ranges.whole(row, "ports", low=1, high=MOST_PORTS, unit="ports", where=where)
    size = ranges.whole(row, "ports_per_board", low=1, high=MOST_PORTS, unit="ports", where=where)
    used = _read_used(row, ports=ports, where=where)
    boards: list[dict[str, object]] = []
    switch_out: list[dict[str, object]] = []
    for first in range(0, ports, size):
        positions: list[dict[str, object]] = []
        for port in range(first + 1, first + size + 1):
            state = ABSENT if port > ports else USED if port in used else UNUSED
            there = None if state == ABSENT else port
            positions.append({"position": port - first, "port": there, "state": state})
            if state != USED:
                switch_out.append(
                    {"board": len(boards) + 1, "position": port - first, "port": there}
                )
        boards.append({"board": len(boards) + 1, "positions": positions})
    unused = [one["port"] for one in switch_out if one["port"] is not None]
    if unused:
        reasons.append(verdicts.reason("ports_unused", box=name, ports=unused))
    absent = [one["position"] for one in switch_out if one["port"] is None]
    if absent:
        reasons.append(_absent(name, board=len(boards), positions=absent))
    return {"box": name, "boards": boards, "switch_out": switch_out}


def _absent(name: str, *, board: int, positions: list[object]) -> dict[str, object]:
    return verdicts.reason(
        "positions_absent",
        box=name,
        board=board,
        positions=positions,
        source=COMMON,
        mark=verdicts.COMMON_PRACTICE,
    )


def _read_used(row: dict[str, object], *, ports: int, where: str) -> list[int]:
    value = row.get("used")
    if value is None:
        raise ranges.missing(where + "used")
    if not isinstance(value, list):
        raise ranges.wrong_kind(where + "used", wanted="a list of port numbers")
    used: list[int] = []
    for index, item in enumerate(value):
        field = ranges.place(where + "used", index=index)
        port = ranges.whole({field: item}, field, low=1, high=ports, unit="port")
        if port in used:
            raise ranges.contradictory(field, message="port " + str(port) + " is in the list twice")
        used.append(port)
    return used
