"""Bodies as they come: JSON in, and no number that the way out could not carry again."""

import json
import math
from typing import Any

import flask_smorest
from flask import Request
from webargs import core
from webargs.flaskparser import FlaskParser, is_json_request

# No double has more digits before its point; Python itself refuses to read 4,300.
MOST_DIGITS = 308


class NoNumber(str):
    """What stood where a number should and is none: text to everyone who does not ask."""

    __slots__ = ()


def _whole(said: str) -> int | str:
    return int(said) if len(said) <= MOST_DIGITS else NoNumber(said)


def _broken(said: str) -> float | str:
    number = float(said)
    return number if math.isfinite(number) else NoNumber(said)


def read_json(text: str) -> Any:
    """A number that no double holds, and the NaN that is no JSON, stay the text they came as.

    The field that holds one is then told that it must be a number, its neighbours are taken,
    and what is kept aside can be given back to a browser, whose JSON knows neither.
    """
    return json.loads(text, parse_int=_whole, parse_float=_broken, parse_constant=NoNumber)


class BodyParser(FlaskParser):
    """Reads every JSON body of the API."""

    def _raw_load_json(self, req: Request) -> Any:
        if not is_json_request(req):
            return core.missing
        try:
            text = req.get_data(cache=True).decode()
        except UnicodeDecodeError as error:
            raise json.JSONDecodeError("not UTF-8", "", error.start) from error
        return read_json(text)


class Blueprint(flask_smorest.Blueprint):
    """A blueprint of ours: the same as any, with bodies read as above."""

    ARGUMENTS_PARSER = BodyParser()
