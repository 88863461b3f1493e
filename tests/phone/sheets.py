"""As-built sheets that the dispatcher reads in: the clinic of the demo, and one with mistakes in it."""

from pathlib import Path

TERN_LANE = Path(__file__).resolve().parents[2] / "demo_seed" / "tern_lane_as_built.csv"


def good_sheet() -> bytes:
    return TERN_LANE.read_bytes()


def bad_sheet() -> bytes:
    """The same sheet with a parent that is not there, one port used twice, and a room without a size."""
    text = TERN_LANE.read_text()
    text = text.replace("branch_box,B3,S1,,,,J4", "branch_box,B3,S1,,,,J44")
    text = text.replace("indoor_unit,L1-02,S1,,,,B1,2", "indoor_unit,L1-02,S1,,,,B1,1")
    return text.replace("Lift lobby,58", "Lift lobby,large").encode()
