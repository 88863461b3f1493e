"""Which unit to look at first when the count is short.

Each sign against a unit has points. They are powers of two, so that a stronger sign outranks
all weaker ones together. The order of the signs is common practice with no source (P): first
what somebody saw, then what the controller tells, then what nobody has looked at yet.

    32  no power            somebody looked and saw none
    16  fan stands still    all fans were told to run
     8  port silent         the controller does not name the port of the sheet
     4  shares a port       with another unit, on a port that does answer
     4  alone on its port   when fewer ports answer than are used: a shared one would still answer
     2  power not looked at
     1  fan not looked at

A unit that somebody saw running is no suspect. Equal points keep the order of the sheet.
"""

from . import ranges, verdicts

MOST_PORTS = 512  # As many as units at most (P).

NO_POWER = ("no_power", 32)
FAN_STANDS_STILL = ("fan_stands_still", 16)
PORT_SILENT = ("port_silent", 8)
SHARES_A_PORT = ("shares_a_port", 4)
ALONE_ON_PORT = ("alone_on_port", 4)
POWER_NOT_LOOKED_AT = ("power_not_looked_at", 2)
FAN_NOT_LOOKED_AT = ("fan_not_looked_at", 1)


class Unit:
    """An indoor unit of the sheet and what is known of it; None where nobody looked."""

    def __init__(
        self, name: str, *, port: str | None, runs: bool | None, powered: bool | None
    ) -> None:
        self.name = name
        self.port = port
        self.runs = runs
        self.powered = powered
        # Seen not to answer; a fan that runs outweighs an earlier look at the power.
        self.is_found = runs is False or (powered is False and runs is None)


class Ports:
    """The ports of the sheet against those that answer."""

    def __init__(self, units: list[Unit], *, told: int | list[str] | None) -> None:
        self.sheet = [unit.port for unit in units if unit.port is not None]
        self.named = told if isinstance(told, list) else None
        self.told = len(told) if isinstance(told, list) else told
        self.used = len(set(self.sheet))

    def is_known(self) -> bool:
        """Whether sheet and controller both speak of ports."""
        return self.told is not None and self.used > 0

    def sign(self, port: str | None) -> tuple[str, int] | None:
        """What a port says against a unit on it, be they named or only counted."""
        if port is None or self.told is None:
            return None
        if self.named is not None and port not in self.named:
            return PORT_SILENT
        is_shared = self.sheet.count(port) > 1
        if self.named is not None or self.told == self.used:
            return SHARES_A_PORT if is_shared else None
        return ALONE_ON_PORT if self.told < self.used and not is_shared else None

    def wrong(self) -> list[dict[str, object]]:
        """In what the ports that answer differ from the sheet."""
        found: list[dict[str, object]] = []
        if not self.is_known() or self.told is None:
            return found
        if self.named is not None:
            silent: list[str] = []
            for port in self.sheet:
                if port not in self.named and port not in silent:
                    silent.append(port)
            strange = [port for port in self.named if port not in self.sheet]
            if silent:
                found.append(verdicts.reason("ports_silent", ports=silent))
            if strange:
                found.append(verdicts.reason("ports_not_on_sheet", ports=strange))
        if self.told != self.used:
            code = "ports_fewer" if self.told < self.used else "ports_more"
            found.append(verdicts.reason(code, used=self.used, reported=self.told))
        return found

    def described(self) -> list[dict[str, object]]:
        """What the ports say: nothing, that they are all right, or what is wrong."""
        if self.told is None:
            return []
        if self.used == 0:
            return [verdicts.reason("no_ports_on_sheet")]
        right = verdicts.reason("ports_all_answer", used=self.used, reported=self.told)
        return self.wrong() or [right]


def ordered(units: list[Unit], *, ports: Ports) -> list[dict[str, object]]:
    """The suspects, those with the most points first."""
    rows: list[tuple[int, int, dict[str, object]]] = []
    for index, unit in enumerate(units):
        if unit.runs is True:
            continue
        signs = _signs(unit, of_port=ports.sign(unit.port))
        score = 0
        for _, points in signs:
            score += points
        row: dict[str, object] = {
            "unit": unit.name,
            "port": unit.port,
            "score": score,
            "reasons": [verdicts.reason(code, points=points) for code, points in signs],
        }
        rows.append((-score, index, row))
    rows.sort(key=lambda one: (one[0], one[1]))
    return [row[2] for row in rows]


def _signs(unit: Unit, *, of_port: tuple[str, int] | None) -> list[tuple[str, int]]:
    signs = [
        (unit.powered is False, NO_POWER),
        (unit.runs is False, FAN_STANDS_STILL),
        (of_port is not None, of_port),
        (unit.powered is None, POWER_NOT_LOOKED_AT),
        (unit.runs is None, FAN_NOT_LOOKED_AT),
    ]
    return [sign for is_there, sign in signs if is_there and sign is not None]


def read_units(data: dict[str, object], *, most: int) -> list[Unit]:
    """The sheet, with what was seen on the walk."""
    rows = ranges.records(data, "expected")
    if not 1 <= len(rows) <= most:
        raise ranges.out_of_range("expected", low=1, high=most, unit="units")
    ports: dict[str, str | None] = {}
    names: list[str] = []
    for index, row in enumerate(rows):
        where = ranges.place("expected", index=index) + "."
        name = ranges.text(row, "unit", where=where)
        if name in ports:
            raise ranges.contradictory(where + "unit", message=name + " is on the sheet twice")
        names.append(name)
        port = row.get("port")
        ports[name] = None if port is None else _port_name(port, field=where + "port")
    runs = _read_seen(data, "fan_seen", what="running", known=names)
    powered = _read_seen(data, "powered", what="seen", known=names)
    return [
        Unit(name, port=ports[name], runs=runs.get(name), powered=powered.get(name))
        for name in names
    ]


def read_ports(data: dict[str, object]) -> int | list[str] | None:
    """How many ports answer, or which, or None when nobody told."""
    told = data.get("reported_ports")
    if told is None:
        return None
    if not isinstance(told, list):
        return ranges.whole(data, "reported_ports", low=0, high=MOST_PORTS, unit="ports")
    ports: list[str] = []
    for index, value in enumerate(told):
        field = ranges.place("reported_ports", index=index)
        name = _port_name(value, field=field)
        if name in ports:
            raise ranges.contradictory(field, message=name + " is named twice")
        ports.append(name)
    return ports


def _port_name(value: object, *, field: str) -> str:
    """A port's name; 3 and "3" are one port."""
    if isinstance(value, str) and value != "":
        return value
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    raise ranges.wrong_kind(field, wanted="the name or the number of a port")


def _read_seen(
    data: dict[str, object], name: str, *, what: str, known: list[str]
) -> dict[str, bool]:
    found: dict[str, bool] = {}
    for index, row in enumerate(ranges.records_or_none(data, name)):
        where = ranges.place(name, index=index) + "."
        unit = ranges.text(row, "unit", where=where)
        if unit not in known:
            raise ranges.wrong_kind(where + "unit", wanted="a unit of the sheet")
        value = row.get(what)
        if value is None:
            raise ranges.missing(where + what)
        if not isinstance(value, bool):
            raise ranges.wrong_kind(where + what, wanted="true or false")
        if found.get(unit, value) != value:
            raise ranges.contradictory(where + what, message=unit + " is both, true and false")
        found[unit] = value
    return found
