"""Kinds of defect: what each stops, who mends it, how long that takes, what proof is wanted.

Every row is common practice with no source (P) and a proposal: the person who logs the
issue may change all of it. Texts are codes; the words live with the screens.
"""

from . import sequence

NAME = "issue_categories"
WHAT = "Kinds of defect with what they stop, who must act, usual hours, evidence and cautions"

INPUTS: list[tuple[str, str, bool, str]] = []
OUTPUTS = [
    ("categories", "", "list of {code, stops, opens_circuit, who_must_act, action, evidence, ...}"),
    ("categories[].repair_s", "s", "usual time of the repair: low, likely, high"),
    ("categories[].proof_s", "s", "usual time of the proof: low, likely, high"),
]

WHO = ["contractor", "technician", "dispatcher", "electrician", "customer"]
STATES = ["open", "answered", "proved", "sent_back", "accepted"]
CAUTIONS = [
    "caution.supply",
    "caution.pressure",
    "caution.vacuum",
    "caution.flammable",
    "caution.height",
    "caution.electric",
]
CONTRACTOR = "contractor"
TECHNICIAN = "technician"


class Category:
    """One kind of defect."""

    def __init__(
        self,
        code: str,
        *,
        stops: list[str],
        repair_hours: tuple[float, float, float],
        cautions: list[str],
        who: str = CONTRACTOR,
        opens_circuit: bool = False,
        proof_hours: tuple[float, float, float] = (0.1, 0.25, 0.5),
        bring: list[str] | None = None,
    ) -> None:
        self.code = code
        self.stops = stops
        self.opens_circuit = opens_circuit
        self.who = who
        self.repair_s = _seconds(repair_hours)
        self.proof_s = _seconds(proof_hours)
        self.cautions = cautions
        self.bring = [] if bring is None else bring


def _seconds(hours: tuple[float, float, float]) -> tuple[float, float, float]:
    hour = float(sequence.HOUR_S)
    return (hours[0] * hour, hours[1] * hour, hours[2] * hour)


CATEGORIES = [
    Category(
        "leak",
        stops=["refrigerant"],
        opens_circuit=True,
        repair_hours=(1.0, 2.0, 4.0),
        proof_hours=(0.25, 0.5, 1.0),
        cautions=["caution.pressure", "caution.flammable"],
        bring=["bring.leak_detector", "bring.pressure_gauge"],
    ),
    Category(
        "joint",
        stops=["refrigerant"],
        repair_hours=(1.0, 2.0, 4.0),
        cautions=["caution.pressure", "caution.height"],
        bring=["bring.spirit_level", "bring.tape_measure"],
    ),
    Category("pipe_support", stops=[], repair_hours=(0.5, 1.0, 3.0), cautions=["caution.height"]),
    Category("insulation", stops=[], repair_hours=(0.5, 1.0, 4.0), cautions=["caution.height"]),
    Category(
        "supply_rotation",
        stops=["supply"],
        repair_hours=(0.5, 1.0, 2.0),
        proof_hours=(0.15, 0.25, 0.5),
        cautions=["caution.supply"],
        bring=["bring.voltage_tester", "bring.rotation_tester", "bring.lock_and_tag"],
    ),
    Category(
        "no_power",
        stops=["controls"],
        repair_hours=(0.5, 2.0, 8.0),
        cautions=["caution.electric"],
        bring=["bring.voltage_tester"],
    ),
    Category(
        "wiring",
        stops=["controls"],
        repair_hours=(0.5, 2.0, 8.0),
        cautions=["caution.electric"],
        bring=["bring.voltage_tester"],
    ),
    Category(
        "port",
        stops=["controls"],
        repair_hours=(0.5, 1.0, 4.0),
        cautions=["caution.electric", "caution.height"],
        bring=["bring.as_built_sheet"],
    ),
    Category(
        "address",
        stops=["controls"],
        who=TECHNICIAN,
        repair_hours=(0.1, 0.25, 1.0),
        cautions=[],
        bring=["bring.as_built_sheet"],
    ),
    Category(
        "drain", stops=["test_run"], repair_hours=(0.5, 1.0, 4.0), cautions=["caution.height"]
    ),
    Category("access", stops=[], repair_hours=(0.5, 2.0, 8.0), cautions=["caution.height"]),
    Category(
        "damage",
        stops=["test_run"],
        repair_hours=(1.0, 4.0, 16.0),
        cautions=["caution.electric", "caution.pressure"],
    ),
    Category("missing", stops=["controls"], repair_hours=(1.0, 4.0, 16.0), cautions=[]),
    Category("other", stops=[], repair_hours=(0.5, 2.0, 8.0), cautions=[]),
]

CODES = [category.code for category in CATEGORIES]


def of_code(code: str) -> Category:
    """The category of a code that was checked before."""
    return CATEGORIES[CODES.index(code)]


def issue_categories(_data: dict[str, object]) -> dict[str, object]:
    """All categories, in the order in which they are offered. Takes no input."""
    return {"categories": [_described(category) for category in CATEGORIES]}


def _described(category: Category) -> dict[str, object]:
    return {
        "code": category.code,
        "stops": list(category.stops),
        "opens_circuit": category.opens_circuit,
        "who_must_act": category.who,
        "action": "category." + category.code + ".action",
        "evidence": "category." + category.code + ".evidence",
        "cautions": list(category.cautions),
        "bring": list(category.bring),
        "repair_s": _range(category.repair_s),
        "proof_s": _range(category.proof_s),
        "source": sequence.COMMON,
        "mark": "P",
    }


def _range(values: tuple[float, float, float]) -> dict[str, object]:
    return {"low": values[0], "likely": values[1], "high": values[2]}
