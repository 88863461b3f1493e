"""When something happened, as far as anyone can say."""

from datetime import UTC, datetime

from flarenut.shape import is_in_years
from flarenut.sync.change import Change


def happened_at(change: Change) -> datetime:
    """The phone's time, but never later than the arrival.

    A technician works for hours with no signal, so the phone knows better than the server
    when an issue was raised. But phones have wrong clocks: nothing happens after it arrived,
    and a clock that has lost its year says nothing at all.
    """
    said = _parsed(change.device_time)
    return change.at if said is None else min(said, change.at)


def _parsed(device_time: str | None) -> datetime | None:
    try:
        said = datetime.fromisoformat(device_time or "")
        moment = said.replace(tzinfo=UTC) if said.tzinfo is None else said.astimezone(UTC)
    except (ValueError, OverflowError):
        return None
    return moment if is_in_years(moment) else None
