"""Passwords: argon2id, and the same time whether or not the e-mail address is known."""

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from flarenut.errors import Invalid

# 19 MiB, two passes, one lane: the OWASP password storage cheat sheet's smallest
# recommendation for argon2id. More memory would let a burst of sign-ins starve the server.
_hasher = PasswordHasher(time_cost=2, memory_cost=19 * 1024, parallelism=1)

# Compared with when nobody has that address, so that the answer takes as long.
_NOBODYS_HASH = _hasher.hash("the password of nobody in particular")

SHORTEST, LONGEST = 12, 200  # characters; NIST SP 800-63B asks for length and forbids other rules


def hash_password(password: str) -> str:
    """What is stored of a new password."""
    if not SHORTEST <= len(password) <= LONGEST:
        limits = f"must have {SHORTEST} to {LONGEST} characters"
        raise Invalid("invalid", f"The password {limits}.", {"password": [limits]})
    return _hasher.hash(password)


def is_password(password: str, *, stored: str | None) -> bool:
    """Is this the password? With nothing stored the answer is no, and just as slow."""
    try:
        return _hasher.verify(stored or _NOBODYS_HASH, password) and stored is not None
    except (VerificationError, InvalidHashError):
        return False
