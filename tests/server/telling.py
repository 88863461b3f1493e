"""One change at a time, and what the phone is told about it."""

from typing import Any

from tests.builders import Phone, a_mutation, push

# Long enough ago that no server clock takes it for the future.
THEN = "2025-06-02T09:00:00.000Z"


def tell(phone: Phone, job_id: str, kind: str, entity: str = "", /, **fields: Any) -> dict[str, Any]:
    """Push one change; its receipt. `base_rev` and `device_time` may be given among the fields."""
    envelope = {name: fields.pop(name) for name in ("base_rev", "device_time") if name in fields}
    mutation = {**a_mutation(kind, entity, **fields), "device_time": THEN, **envelope}
    receipts = push(phone, job_id, [mutation])["receipts"]
    receipt: dict[str, Any] = receipts[0]
    return receipt


def code_of(receipt: dict[str, Any]) -> str:
    """Why a change was not taken; empty when it was."""
    return str(receipt["detail"]["code"]) if receipt["outcome"] in ("refused", "set_aside") else ""
