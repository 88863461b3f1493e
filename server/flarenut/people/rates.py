"""How often a stranger may try. Only failed attempts count, so nobody is locked out by working."""

from flask import Response, current_app, request
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address


def _address() -> str:
    return get_remote_address()


def _email() -> str:
    body = request.get_json(silent=True)
    email = body.get("email") if isinstance(body, dict) else None
    return f"email:{email.strip().lower()[:254]}" if isinstance(email, str) else get_remote_address()


def has_failed(response: Response) -> bool:
    """An attempt that was turned away."""
    return response.status_code in (401, 404, 422)


limiter = Limiter(key_func=_address)

by_address = limiter.limit(
    lambda: current_app.config["FLARENUT_SIGN_IN_LIMIT"], key_func=_address, deduct_when=has_failed
)
by_email = limiter.limit(lambda: current_app.config["FLARENUT_PERSON_LIMIT"], key_func=_email, deduct_when=has_failed)
