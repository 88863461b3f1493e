"""What a phone may say about a job and its units."""

from functools import cache
from zoneinfo import available_timezones

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from flarenut.jobs.limits import FROM_SHEET
from flarenut.jobs.structure import SYSTEM_KINDS, UNIT_KINDS
from flarenut.shape import (
    LARGEST_CHANGE_BYTES,
    LINE,
    NOTE,
    Quantity,
    Shape,
    Whole,
    choice,
    choice_or_none,
    row_id,
    row_id_or_none,
    text,
    words,
)
from flarenut.trade import charge_lines, supply, tubes

# The most that one job holds: the largest building of this trade several times over (P).
MOST_UNITS = 1_500
MOST_SYSTEMS = 60

# A job is one change. What its sheet leaves of that is for the name, the address and what else goes along (P).
LARGEST_SHEET_BYTES = LARGEST_CHANGE_BYTES - 50_000

# Alternating current from 100 V to the 1,000 V where low voltage ends (IEC 60038, M).
LOWEST_V, HIGHEST_V = 100, 1_000

# From a cupboard to a hall (P).
SMALLEST_ROOM_M3, LARGEST_ROOM_M3 = 0.1, 1_000_000

# An address as a controller shows it, with room to spare (P).
ADDRESS = 20

_DAY_TIME = validate.Regexp(r"^([01]\d|2[0-3]):[0-5]\d\Z", error="must be a time of day like 07:00")


_zones = cache(available_timezones)  # which looks through some thousand files


def _check_zone(name: str) -> None:
    if name not in _zones():
        raise ValidationError(f"{name[:60]!r} is no time zone of the IANA list, like Europe/Berlin")


def _check_days(days: list[int]) -> None:
    if not days or len(set(days)) != len(days):
        raise ValidationError("must name at least one day, each once, from 1 (Monday) to 7 (Sunday)")


class SystemRow(Shape):
    id = row_id()
    tag = words(LINE)
    kind = choice(SYSTEM_KINDS)
    refrigerant = text(LINE)
    nominal_v = Quantity(low=LOWEST_V, high=HIGHEST_V, unit="V", required=True)
    # No wider than the engine judges by, or every supply reading of the job would be turned away.
    supply_tolerance_pct = Quantity(low=0.1, high=supply.HIGHEST_TOLERANCE_PCT, unit="%", allow_none=True)
    unbalance_limit_pct = Quantity(low=0.1, high=supply.NEVER_UNBALANCE_PCT, unit="%", allow_none=True)


def _floor_order() -> Whole:
    return Whole(low=-1_000, high=1_000)


def _room_m3() -> Quantity:
    return Quantity(low=SMALLEST_ROOM_M3, high=LARGEST_ROOM_M3, unit="m3", allow_none=True)


class UnitRow(Shape):
    id = row_id()
    system_id = row_id_or_none()
    kind = choice(UNIT_KINDS)
    tag = words(LINE)
    floor = text(LINE)
    floor_order = _floor_order()
    place = text(LINE)
    room = text(LINE)
    room_m3 = _room_m3()
    parent_id = row_id_or_none()
    # Which ports a box has is checked with the whole structure, in words that name the box.
    port = Whole(low=0, high=1_000, allow_none=True)
    port_count = Whole(low=0, high=1_000, allow_none=True)
    group_address = text(ADDRESS)
    central_address = text(ADDRESS)
    feeder = text(LINE)
    line_size = choice_or_none(tubes.names())
    line_length_m = Quantity(low=0.0, high=charge_lines.LONGEST_M, unit="m", allow_none=True)
    model_note = text(NOTE)


def _limit(name: str) -> Quantity:
    low, high, unit = FROM_SHEET[name]
    return Quantity(low=low, high=high, unit=unit, allow_none=True)


class SheetLimits(Shape):
    """Limits that the as-built sheet gives for the whole job, with where they come from."""

    vacuum_limit_pa = _limit("vacuum_limit_pa")
    vacuum_hold_s = _limit("vacuum_hold_s")
    leak_to_exclude_pa_m3_s = _limit("leak_to_exclude_pa_m3_s")
    room_limit_kg_m3 = _limit("room_limit_kg_m3")
    straight_limit_m = _limit("straight_limit_m")
    tilt_limit_deg = _limit("tilt_limit_deg")
    max_share_on = _limit("max_share_on")
    source = words(LINE)


class JobCreate(Shape):
    name = words(LINE)
    address = text(NOTE)
    contractor_firm = text(LINE)
    time_zone = fields.String(required=True, validate=_check_zone)
    shift_start = fields.String(required=True, validate=_DAY_TIME)
    shift_end = fields.String(required=True, validate=_DAY_TIME)
    shift_days = fields.List(Whole(low=1, high=7), required=True, validate=_check_days)
    invented = fields.Boolean()
    systems = fields.List(
        fields.Nested(SystemRow),
        required=True,
        validate=validate.Length(min=1, max=MOST_SYSTEMS, error="must be {min} to {max} systems"),
    )
    units = fields.List(
        fields.Nested(UnitRow),
        required=True,
        validate=validate.Length(min=1, max=MOST_UNITS, error="must be {min} to {max} units"),
    )
    limits = fields.Nested(SheetLimits, allow_none=True)

    @validates_schema
    def _check_shift(self, data: dict[str, str], **_kwargs: object) -> None:
        if data["shift_start"] >= data["shift_end"]:
            raise ValidationError("must be later than shift_start", "shift_end")


class UnitSet(Shape):
    floor = text(LINE)
    floor_order = _floor_order()
    place = text(LINE)
    room = text(LINE)
    room_m3 = _room_m3()
    group_address = text(ADDRESS)
    central_address = text(ADDRESS)
    feeder = text(LINE)
    model_note = text(NOTE)


class BadCell(Schema):
    """One thing that is wrong with a sheet. Row 0 speaks of the file as a whole."""

    row = fields.Integer(required=True)
    column = fields.String(required=True)
    code = fields.String(required=True)
    reason = fields.String(required=True)


class CheckedSheet(Schema):
    """What a sheet holds. With errors it holds nothing: a sheet is never half-imported."""

    systems = fields.List(fields.Dict(), required=True)
    units = fields.List(fields.Dict(), required=True)
    limits = fields.Dict(required=True)
    errors = fields.List(fields.Nested(BadCell), required=True)
    counts = fields.Dict(keys=fields.String(), values=fields.Integer(), required=True)


class SheetFile(Schema):
    """The one file of a check."""

    sheet = fields.Raw(required=True, metadata={"type": "string", "format": "binary"})
