"""The invented companies and people of the demo, with passwords that are meant to be read."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class DemoPerson:
    """Someone who signs in. Nobody of this name works anywhere."""

    name: str
    email: str
    role: str

    @property
    def password(self) -> str:
        """Printed by the demo, and good for nothing else."""
        return f"copper-pipe-{self.email.partition('@')[0]}"


COMPANY = "Example Air Start-up (invented)"
ANA = DemoPerson(name="Ana Example", email="ana@example.test", role="dispatcher")
BEN = DemoPerson(name="Ben Sample", email="ben@example.test", role="technician")
DEE = DemoPerson(name="Dee Specimen", email="dee@example.test", role="technician")
PEOPLE = (ANA, BEN, DEE)

# Another company on the same server. The tests try to see its neighbour's jobs and must fail.
OTHER_COMPANY = "Elsewhere Cooling (invented)"
CLEO = DemoPerson(name="Cleo Elsewhere", email="cleo@example.test", role="dispatcher")

CONTRACTOR_FIRM = "Specimen Mechanical (invented)"
CONTRACTOR = "Kim Placeholder"
