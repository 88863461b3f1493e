"""Reading a port check: which unit hangs on which port, from what the rounds showed."""

import math

from . import (
    port_check_plan,
    port_claims,
    port_codes,
    port_findings,
    port_fit,
    port_next_round,
    port_reading,
    verdicts,
)

NAME = "port_check_read"
WHAT = "Which unit hangs on which port: swapped, silent and shared ports, and what is unclear"

# Noise above the given by more than this makes every margin larger than it is (H).
NOISE_FACTOR = 1.5
# A smaller answer counts as none, so that silence can be told from a weak answer (H).
LEAST_ANSWER = 5.0  # times the noise
# Silence is not sure when a smaller answer on some port fits better by more than this; noise
# alone does that once in 200 for each port (chi-square of one degree of freedom, H).
FAINT = 8.0  # noise variances

INPUTS = [
    ("codes", "", True, "list of {unit, code}: the plan, and rounds added since; 2 to 64"),
    ("codes[].unit", "", True, "a port is named by the unit that the sheet puts on it"),
    ("codes[].code", "", True, "0 and 1, the first round first; 0 for all ports is a pause"),
    ("responses", "", True, "list of {unit, values}; a unit left out was not measured"),
    ("responses[].unit", "", True, "one of the units of the codes"),
    ("responses[].values", "K", True, "change per round, -60 to 60, up when on; null: not read"),
    ("round_s", "s", True, "length of a round, 30 to 86400"),
    ("lag_s", "s", True, "time constant of the answer, 0 to 86400"),
    ("noise_k", "K", True, "standard deviation of a change, 0.01 to 10"),
]
OUTPUTS = [
    ("assignment", "", "list of {unit, port, kind, clear, margin, rival, answer_k, .. }"),
    ("assignment[].port", "", "null for a unit that is silent or was not measured"),
    ("assignment[].kind", "", "own, other, shared, silent, not_measured"),
    ("assignment[].margin", "", "best total without the pair less the best, noise variances"),
    ("assignment[].rival", "", "the port it would be on instead; null for none"),
    ("assignment[].answer_k", "K", "temperature change when fully on; null for no port"),
    ("assignment[].wrong_readings", "", "readings of the unit that were set aside as wrong"),
    ("swapped", "", "list of {units, clear}: each on the next one's port, the last on the first's"),
    ("silent", "", "list of {kind, name, clear}: a port that nobody answers, or a unit"),
    ("shared", "", "list of {port, units, clear}: units on one port"),
    ("next_round", "", "{on, off, read} that best separates what is unclear, or null"),
    ("noise_seen_k", "K", "standard deviation of what the fit leaves; null with too few readings"),
    ("least_answer_k", "K", "a unit that answers with less counts as silent"),
    ("clear_margin", "", "a pair is clear above this margin, noise variances"),
    ("verdict", "", "pass, fail, unclear"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def port_check_read(data: dict[str, object]) -> dict[str, object]:
    """What a port check shows.

    Each unit's readings are fitted to the word of each port as a first-order lag passes it on;
    the assignment problem picks the match of all units together. The rounds are taken to
    follow each other, all ports off before the first.
    """
    check = port_reading.Check(data)
    claims = _claims(check)
    port_claims.settle(claims)
    noise_seen_k = _noise_seen_k(claims, noise_k=check.noise_k)
    is_noisy = noise_seen_k is not None and noise_seen_k > NOISE_FACTOR * check.noise_k
    _judge(claims, check=check, is_noisy=is_noisy)
    found = port_findings.Findings(claims, names=check.names)
    verdict = found.verdict()
    reasons = found.reasons()
    if is_noisy:
        reasons.append(_noisy(noise_seen_k, noise_k=check.noise_k))
    return {
        "assignment": found.assignment(),
        "swapped": found.swapped,
        "silent": found.silent,
        "shared": found.shared,
        "next_round": port_next_round.next_round(claims, check=check),
        "noise_seen_k": noise_seen_k,
        "least_answer_k": LEAST_ANSWER * check.noise_k,
        "clear_margin": port_claims.CLEAR,
        "verdict": verdict,
        "reasons": reasons,
        "next": port_findings.todo(reasons, verdict=verdict),
        "cautions": list(port_check_plan.CAUTIONS),
    }


def _claims(check: port_reading.Check) -> list[port_claims.Claim]:
    """Every unit tried on every port, and on none."""
    claims: list[port_claims.Claim] = []
    for unit, seen in enumerate(check.seen):
        tried = _fits(seen, check=check, least_k=LEAST_ANSWER * check.noise_k)
        claims.append(port_claims.Claim(unit, tried=tried, is_measured=len(seen) > 0))
    return claims


def _fits(
    seen: list[tuple[int, float]], *, check: port_reading.Check, least_k: float
) -> list[port_fit.Fit]:
    return [
        port_fit.Fit(seen, shares=row, noise_k=check.noise_k, least_k=least_k)
        for row in check.shares
    ]


def _is_faint(claim: port_claims.Claim, *, check: port_reading.Check) -> bool:
    """Whether a unit held for silent may answer, only weakly."""
    if claim.port != port_claims.SILENT:
        return False
    fits = _fits(check.seen[claim.unit], check=check, least_k=0.0)
    return min([fit.cost for fit in fits]) < claim.fit.cost - FAINT


def _judge(claims: list[port_claims.Claim], *, check: port_reading.Check, is_noisy: bool) -> None:
    """Clear is what has the margin, when its readings fit and scatter as was said."""
    most_wrong = port_codes.distance_of([int(code, 2) for code in check.codes]) - 1
    for claim in claims:
        claim.fits = claim.fit.wrong <= most_wrong and not _is_faint(claim, check=check)
        is_above = claim.margin > port_claims.CLEAR
        claim.is_clear = claim.is_measured and claim.fits and is_above and not is_noisy


def _noise_seen_k(claims: list[port_claims.Claim], *, noise_k: float) -> float | None:
    """The standard deviation of the readings that were kept, each fitted answer counted off."""
    squares = 0.0
    free = 0
    for claim in [claim for claim in claims if claim.is_measured]:
        squares += claim.fit.squares
        free += claim.fit.kept - 1
    return noise_k * math.sqrt(squares / free) if free > 0 else None


def _noisy(noise_seen_k: float | None, *, noise_k: float) -> dict[str, object]:
    return verdicts.reason(
        "noise_above_given",
        value=noise_seen_k,
        limit=NOISE_FACTOR * noise_k,
        unit="K",
        source=port_findings.DERIVED,
        mark=verdicts.BY_HAND,
    )
