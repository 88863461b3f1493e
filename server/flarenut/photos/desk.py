"""`flarenut photos`: check every stored photo, ask for lost ones again, tidy up."""

from collections.abc import Callable

from flarenut.photos.tidy import tidy_photos
from flarenut.photos.verify import Checked, ask_for_lost, check_stored

Tell = Callable[[str], object]


def verify(*, tell: Tell) -> list[Checked]:
    """A line for each photo that is damaged or missing, and one for all of them; which these are."""
    count, lost = 0, []
    for checked in check_stored():
        count += 1
        if checked.is_lost:
            lost.append(checked)
            tell(f"{checked.found}\tphoto {checked.photo_id}\tjob {checked.job_id}\tcompany {checked.company_id}")
    if lost:
        tell(f"{len(lost)} damaged or missing, of {count}.")
        tell("Bring them back from a backup, or let phones that still have them send them again: --ask-again.")
    else:
        tell(f"Every stored photo is as it was sent: {count}.")
    return lost


def verify_and_ask_again(*, tell: Tell) -> list[Checked]:
    """As above; the lost ones then wait for their bytes as if they had never come."""
    lost = verify(tell=tell)
    for checked in lost:
        ask_for_lost(checked)
    if lost:
        tell("They wait for their bytes now; a phone that has not let go of them sends them once more.")
    return lost


def tidy(*, tell: Tell) -> int:
    """What was cleared away; zero, for the shell."""
    done = tidy_photos()
    if done.found:
        tell(f"Stored already, and known again since a restore: photos {done.found}.")
    tell(f"Cleared away: expired uploads {done.uploads}, files of no photo {done.orphans}, half written {done.drafts}.")
    return 0
