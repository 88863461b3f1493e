"""`flarenut photos`: check every stored photo, ask for lost ones again, tidy up."""

from collections.abc import Callable
from dataclasses import dataclass, field

from flarenut.photos.tidy import tidy_photos
from flarenut.photos.verify import Checked, ask_for_lost, check_stored

Tell = Callable[[str], object]

# For the shell: a photo is lost; or none that could be looked at is, and the store did not give them all. The latter
# also where it looks as if the store itself were away.
LOST, NOT_ALL_SEEN = 1, 3
BRING_BACK = "Bring them back from a backup, or let phones that still have them send them again: --ask-again."
ELSEWHERE = "Not one photo was found whole. Is this the right folder or bucket of photos, mounted and open to read?"


@dataclass
class Verified:
    """What was found of all stored photos."""

    count: int = 0
    whole: int = 0
    unknown: int = 0
    lost: list[Checked] = field(default_factory=list)

    @property
    def code(self) -> int:
        """What the shell is told."""
        if self.lost and not self.may_be_elsewhere:
            return LOST
        return NOT_ALL_SEEN if self.unknown or self.lost else 0

    @property
    def may_be_elsewhere(self) -> bool:
        """Several photos, and not one of them whole: rather another or an empty folder than so many losses."""
        return bool(self.lost) and self.whole == 0 and self.count > 1


def verify(*, tell: Tell) -> int:
    """A line for each photo that is damaged, missing or not given, and one for all of them."""
    return _verify(tell).code


def verify_and_ask_again(*, tell: Tell) -> int:
    """As above; the lost ones then wait for their bytes as if they had never come. Not where it seems to be all."""
    verified = _verify(tell)
    if verified.may_be_elsewhere:
        tell("None was asked for again.")
        return verified.code
    for checked in verified.lost:
        ask_for_lost(checked)
    if verified.lost:
        tell("They wait for their bytes now; a phone that has not let go of them sends them once more.")
    return verified.code


def _verify(tell: Tell) -> Verified:
    verified = Verified()
    for checked in check_stored():
        verified.count += 1
        verified.whole += checked.found == "whole"
        verified.unknown += checked.is_unknown
        if checked.is_lost:
            verified.lost.append(checked)
        if checked.found not in ("whole", "not_asked"):
            tell(f"{checked.found}\tphoto {checked.photo_id}\tjob {checked.job_id}\tcompany {checked.company_id}")
    _tell_all(verified, tell=tell)
    return verified


def _tell_all(verified: Verified, *, tell: Tell) -> None:
    if verified.lost:
        tell(f"{len(verified.lost)} damaged or missing, of {verified.count}.")
        tell(ELSEWHERE if verified.may_be_elsewhere else BRING_BACK)
    if verified.unknown:
        which = f"{verified.unknown} of {verified.count} could not be looked at"
        tell(f"The store was away: {which}. Nothing is known of these; run it again.")
    if verified.code == 0:
        tell(f"Every stored photo is as it was sent: {verified.count}.")


def tidy(*, tell: Tell) -> int:
    """What was cleared away; zero, for the shell."""
    done = tidy_photos()
    if done.found:
        tell(f"Stored already, and known again since a restore: photos {done.found}.")
    tell(f"Cleared away: expired uploads {done.uploads}, files of no photo {done.orphans}, half written {done.drafts}.")
    return 0
