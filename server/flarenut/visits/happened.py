"""When something happened, as far as anyone can say."""

from datetime import UTC, datetime

from flarenut.sync.change import Change


def happened_at(change: Change) -> datetime:
    """The phone's time, but never later than the arrival.

    A technician works for hours with no signal, so the phone knows better than the server
    when an issue was raised. But phones have wrong clocks: nothing happens after it arrived.
    """
    said = _parsed(change.device_time)
    return change.at if said is None else min(said, change.at)


def _parsed(device_time: str | None) -> datetime | None:
    try:
        moment = datetime.fromisoformat(device_time or "")
    except ValueError:
        return None
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment
