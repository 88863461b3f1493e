"""What a port check found: its lists, verdict, reasons, and what to do now."""

from . import verdicts
from .port_claims import CLEAR, SILENT, Claim

OWN = "own"
OTHER = "other"
ALL_OWN = "ports_all_own"
DERIVED = "own derivation"
# What one more round can tell is read before anything is corrected: that ends the rounds.
ONE_MORE = "next.pair_unclear"
# On one port or another, on a port or on none, on none or on a port.
UNCLEAR = ["pair_unclear", "pair_unclear_or_none", "silence_unclear"]


class Findings:
    """The claims by what is odd about them."""

    def __init__(self, claims: list[Claim], *, names: list[str]) -> None:
        self.claims = claims
        self.names = names
        self.units_on = [
            [claim.unit for claim in claims if claim.port == port and claim.is_measured]
            for port in range(len(claims))
        ]
        self.kinds = [self._kind(claim) for claim in claims]
        self.swapped = [self._row(cycle) for cycle in self._cycles()]
        self.silent = self._silent()
        self.shared = [
            self._row(units, port=names[port])
            for port, units in enumerate(self.units_on)
            if len(units) > 1
        ]

    def assignment(self) -> list[dict[str, object]]:
        """Every unit with its port, and how clear that is."""
        return [
            {
                "unit": self.names[claim.unit],
                "port": self._port_name(claim.port) if claim.is_measured else None,
                "kind": self.kinds[claim.unit],
                "clear": claim.is_clear,
                "margin": claim.margin,
                "rival": self._port_name(claim.rival) if claim.is_measured else None,
                "answer_k": None if claim.port == SILENT else claim.fit.answer_k,
                "wrong_readings": claim.fit.wrong,
            }
            for claim in self.claims
        ]

    def verdict(self) -> str:
        """One unit that is surely elsewhere fails the whole."""
        if any(claim.is_clear and claim.port != claim.unit for claim in self.claims):
            return verdicts.FAIL
        if all(claim.is_clear and self.kinds[claim.unit] == OWN for claim in self.claims):
            return verdicts.PASS
        return verdicts.UNCLEAR

    def reasons(self) -> list[dict[str, object]]:
        """What is sure, what is likely, and what is in doubt."""
        found = [_odd("ports_swapped", row=row) for row in self.swapped]
        found.extend([_odd(str(row["kind"]) + "_silent", row=row) for row in self.silent])
        found.extend([_odd("port_shared", row=row) for row in self.shared])
        told = self._surely_told()
        for claim in self.claims:
            code = _doubt(claim)
            # One that is sure stays a cause, though who else is on the port is not.
            is_elsewhere = claim.is_clear and claim.port not in {SILENT, claim.unit}
            if is_elsewhere and claim.unit not in told:
                code = "unit_on_other_port"
            if code:
                found.append(self._reason(claim, code=code))
        if self.verdict() == verdicts.PASS:
            found.append(verdicts.reason(ALL_OWN, units=len(self.names)))
        return found

    def _surely_told(self) -> list[int]:
        """Units that a ring or a shared port names, of which every unit is sure."""
        found: list[int] = []
        for units in self._cycles() + [units for units in self.units_on if len(units) > 1]:
            if self._are_clear(units):
                found.extend(units)
        return found

    def _reason(self, claim: Claim, *, code: str) -> dict[str, object]:
        return verdicts.reason(
            code,
            name=self.names[claim.unit],
            port=self._port_name(claim.port),
            rival=self._port_name(claim.rival),
            wrong_readings=claim.fit.wrong,
            value=claim.margin,
            limit=CLEAR,
            unit="noise variances",
            source=DERIVED,
            mark=verdicts.BY_HAND,
        )

    def _port_name(self, port: int) -> str | None:
        return None if port == SILENT else self.names[port]

    def _kind(self, claim: Claim) -> str:
        if not claim.is_measured:
            return "not_measured"
        if claim.port == SILENT:
            return "silent"
        if len(self.units_on[claim.port]) > 1:
            return "shared"
        return OWN if claim.port == claim.unit else OTHER

    def _cycles(self) -> list[list[int]]:
        """Units of which each is on the port of the next, and the last on that of the first."""
        found: list[list[int]] = []
        seen: list[int] = []
        for first in range(len(self.claims)):
            unit = first
            cycle: list[int] = []
            while unit not in seen and self.kinds[unit] == OTHER:
                seen.append(unit)
                cycle.append(unit)
                unit = self.claims[unit].port
            if cycle and unit == first:
                found.append(cycle)
        return found

    def _silent(self) -> list[dict[str, object]]:
        """Ports that nobody is on, unless units not measured may be on them; then units."""
        empty = [port for port, units in enumerate(self.units_on) if not units]
        if len(empty) <= self.kinds.count("not_measured"):
            empty = []
        found: list[dict[str, object]] = [
            {"kind": "port", "name": self.names[port], "clear": self._is_surely_empty(port)}
            for port in empty
        ]
        for claim in self.claims:
            if self.kinds[claim.unit] == "silent":
                name = self.names[claim.unit]
                found.append({"kind": "unit", "name": name, "clear": claim.is_clear})
        return found

    def _is_surely_empty(self, port: int) -> bool:
        """Its own unit is surely elsewhere, and no unit in doubt could turn out to be on it."""
        return self.claims[port].is_clear and not any(
            not claim.is_clear and (not claim.fits or claim.is_near(port)) for claim in self.claims
        )

    def _row(self, units: list[int], **more: object) -> dict[str, object]:
        more["units"] = [self.names[unit] for unit in units]
        more["clear"] = self._are_clear(units)
        return more

    def _are_clear(self, units: list[int]) -> bool:
        return all(self.claims[unit].is_clear for unit in units)


def todo(reasons: list[dict[str, object]], *, verdict: str) -> list[str]:
    """What to do about each reason that is sure or in doubt, then check again what failed."""
    found: list[str] = []
    for reason in reasons:
        code = str(reason["code"])
        step = ONE_MORE if code in UNCLEAR else "next." + code
        if step not in found and not code.endswith("_likely") and code != ALL_OWN:
            found.insert(0 if step == ONE_MORE else len(found), step)
    if verdict == verdicts.FAIL:
        found.append("next.repeat_port_check")
    return found


def _odd(code: str, *, row: dict[str, object]) -> dict[str, object]:
    """What is sure, and what only seems so, are two codes."""
    return {"code": code if row["clear"] else code + "_likely", "values": row}


def _doubt(claim: Claim) -> str:
    if not claim.is_measured:
        return "unit_not_measured"
    if not claim.fits:
        return "unit_fits_no_port"
    if claim.margin > CLEAR:
        return ""
    if claim.port == SILENT:
        return UNCLEAR[2]
    return UNCLEAR[1 if claim.rival == SILENT else 0]
