"""The server computes every reading again with the same engine, and says where the phone differs."""

import json
import math
from typing import Any

from flarenut.errors import Invalid
from flarenut.trade import entry

# Both runtimes compute in doubles and agree digit for digit, save for the order in which
# newer Pythons add floats up. One part in a thousand million is far above what that can
# move and far below what any instrument of the trade can resolve; near zero, where a
# relative measure means nothing, the second figure stands in.
SAME_RELATIVE = 1e-9
SAME_ABSOLUTE = 1e-12


def recompute(calculation: str, inputs: dict[str, Any]) -> dict[str, Any]:
    """The engine's outputs for these inputs; its own error, word for word, when it has none."""
    answer = json.loads(entry.compute(calculation, json.dumps(inputs)))
    if answer["ok"]:
        return dict(answer["result"])
    error = answer["error"]
    field = error.get("field") or "calculation"
    raise Invalid(error["code"], error.get("message") or "", {f"inputs.{field}": error})


def is_same(phone: Any, server: Any) -> bool:
    """Are both outputs the same, in every verdict, word and number?"""
    if isinstance(phone, bool) or isinstance(server, bool):
        return phone is server
    if isinstance(phone, (int, float)) and isinstance(server, (int, float)):
        return math.isclose(phone, server, rel_tol=SAME_RELATIVE, abs_tol=SAME_ABSOLUTE)
    if isinstance(phone, dict) and isinstance(server, dict):
        return phone.keys() == server.keys() and all(is_same(phone[key], server[key]) for key in phone)
    if isinstance(phone, list) and isinstance(server, list):
        return len(phone) == len(server) and all(map(is_same, phone, server))
    return bool(phone == server)
