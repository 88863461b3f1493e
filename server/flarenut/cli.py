"""The command `flarenut`: serve, db, compute, photos, person, link. Thin: each calls one thing and prints."""

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from flarenut.config import SETTINGS, read_settings

if TYPE_CHECKING:
    from flask import Flask

Command = Callable[[argparse.Namespace], int]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; its number is what the shell is told."""
    asked = _parser().parse_args(arguments)
    command: Command = asked.command
    try:
        status = command(asked)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read along, such as `head`, has seen enough. What is left goes nowhere, without a word.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="flarenut", description=__doc__, epilog=_settings_text(),
        formatter_class=argparse.RawDescriptionHelpFormatter)  # fmt: skip
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    serve = _command(commands, "serve", command=_serve, text="Serve the API and the app.")
    serve.add_argument("--port", type=int)
    serve.add_argument("--host")
    serve.add_argument("--workers", type=int)
    text = "upgrade or downgrade its tables; tidy it once a day; say that it was restored from a copy of its files."
    database = _command(commands, "db", command=_database, text=f"The database: {text}")
    database.add_argument("action", choices=["upgrade", "downgrade", "tidy", "restored"])
    database.add_argument("--to", help="a revision instead of the newest or the one before")
    compute = _command(commands, "compute", command=_compute, text="Run one calculation: JSON in, JSON out.")
    compute.add_argument("name", nargs="?")
    compute.add_argument("--list", action="store_true", help="print every calculation with its inputs and outputs")
    _photo_commands(commands)
    _person_commands(commands)
    return parser


def _photo_commands(commands: Any) -> None:
    photos = commands.add_parser("photos", help="Check or tidy the photos of every company.")
    verbs = photos.add_subparsers(required=True, metavar="VERB")
    text = "Read and hash every stored photo again; the exit code is 1 if one is damaged or missing,"
    text += " and 3 if none that could be looked at is, but the store did not give them all."
    verify = _command(verbs, "verify", command=_photos_verify, text=text)
    ask_again = "let phones that still have a lost one send it; refused, with 3, where of several not one is whole"
    verify.add_argument("--ask-again", action="store_true", help=ask_again)
    text = "Forget expired uploads and whatever the store keeps for no photo; run it once a day."
    _command(verbs, "tidy", command=_photos_tidy, text=text)
    text = "Serve uploads without sign-in to programs that test tus: this machine only, on scratch data."
    conformance = _command(verbs, "conformance", command=_photos_conformance, text=text)
    conformance.add_argument("--port", type=int, default=5081)


def _person_commands(commands: Any) -> None:
    person = commands.add_parser("person", help="Add, list or end people of a company.")
    verbs = person.add_subparsers(required=True, metavar="VERB")
    add = _command(verbs, "add", command=_person_add, text="Add someone; their password is read from standard input.")
    add.add_argument("--name", required=True)
    add.add_argument("--role", required=True, choices=["technician", "dispatcher"])
    end = _command(
        verbs,
        "end",
        command=_person_end,
        text="End someone's access, everywhere and at once; what they have not sent is still kept.",
    )
    listing = _command(verbs, "list", command=_person_list, text="List the people of a company.")
    link = commands.add_parser("link", help="Make a link for a contractor.")
    new = _command(
        link.add_subparsers(required=True, metavar="VERB"), "new", command=_link_new, text="Print a new link."
    )
    for parser in (add, end, listing, new):
        parser.add_argument("--company", required=True)
    for parser in (add, end, new):
        parser.add_argument("--email", required=True, help="for a link: of whoever hands it out")
    for flag in ("--job", "--firm", "--recipient"):
        new.add_argument(flag, required=True)
    new.add_argument("--days", type=int, default=30)


def _command(commands: Any, name: str, *, command: Command, text: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(name, help=text, description=text)
    parser.set_defaults(command=command)
    return parser


def _settings_text() -> str:
    lines = [f"  {setting.name}\n      {setting.why} (default: {setting.default or 'empty'})" for setting in SETTINGS]
    return "settings, from the environment:\n" + "\n".join(lines)


def _app() -> "Flask":
    from flarenut.app import create_app  # noqa: PLC0415 -- compute must not wait for, or need, a database.
    from flarenut.embedded import leave_in_order_when_asked  # noqa: PLC0415

    leave_in_order_when_asked()
    return create_app()


def _serve(asked: argparse.Namespace) -> int:
    from flarenut.embedded import leave_in_order_when_asked  # noqa: PLC0415 -- see _app.
    from flarenut.serving import serve  # noqa: PLC0415

    leave_in_order_when_asked()
    given = {"FLARENUT_PORT": asked.port, "FLARENUT_HOST": asked.host, "FLARENUT_WORKERS": asked.workers}
    serve(read_settings({name: str(value) for name, value in given.items() if value is not None}))
    return 0


def _database(asked: argparse.Namespace) -> int:
    import flask_migrate  # noqa: PLC0415 -- see _app.

    from flarenut.sync import desk  # noqa: PLC0415 -- see _app.

    with _app().app_context():
        if asked.action == "tidy":
            print(f"{desk.forget_old_receipts()} receipts older than {desk.RECEIPT_DAYS} days are forgotten.")
        elif asked.action == "restored":
            print(f"The phones of {desk.start_over()} companies read again, and offer again what is missing here.")
        elif asked.action == "upgrade":
            flask_migrate.upgrade(revision=asked.to or "head")
        else:
            flask_migrate.downgrade(revision=asked.to or "-1")
    return 0


def _compute(asked: argparse.Namespace) -> int:
    from flarenut.trade import entry  # noqa: PLC0415 -- see _app.

    if asked.list:
        print(json.dumps(json.loads(entry.describe()), indent=2))
        return 0
    if not asked.name:
        print("Name a calculation, or use --list.", file=sys.stderr)
        return 2
    answer = json.loads(entry.compute(asked.name, _as_json(sys.stdin.read())))
    if not answer["ok"]:
        print(_error_text(answer["error"]), file=sys.stderr)
        return 1
    print(json.dumps(answer["result"], indent=2))
    return 0


def _as_json(typed: str) -> str:
    """NaN and Infinity are not JSON, but spreadsheets and scripts write them.

    As text they reach the field that holds them, which is then named with its limits.
    """
    try:
        return json.dumps(json.loads(typed, parse_float=_finite, parse_constant=str))
    except (ValueError, RecursionError):
        return typed  # The engine says what is wrong with it.


def _finite(said: str) -> float:
    """The nearest number that there is: outside of every limit, as what was said."""
    return max(-sys.float_info.max, min(sys.float_info.max, float(said)))


def _error_text(error: dict[str, Any]) -> str:
    field, message = error.get("field"), error["message"]
    # Most messages begin with the field.
    place = "" if not field or message.startswith(field) else f"{field}: "
    limits = error.get("limits")
    between = f" (from {limits['low']} to {limits['high']} {limits['unit']})" if limits else ""
    return f"{place}{message}{between} [{error['code']}]"


def _in_company(asked: argparse.Namespace, act: Callable[[Any], str]) -> int:
    from flarenut.db import writing  # noqa: PLC0415 -- see _app.
    from flarenut.errors import FlarenutError  # noqa: PLC0415
    from flarenut.people.verbs import enter_company_named, enter_known_company  # noqa: PLC0415

    # Only the first person of a company brings the company itself.
    enter = enter_company_named if asked.command is _person_add else enter_known_company

    try:
        with _app().test_request_context(), writing():
            text = act(enter(asked.company))
    except FlarenutError as error:
        print(f"{error.message} [{error.code}]", file=sys.stderr)
        return 1
    print(text)
    return 0


def _on_photos(act: Callable[[], int]) -> int:
    from flarenut.errors import FlarenutError  # noqa: PLC0415 -- see _app.

    try:
        with _app().test_request_context():
            return act()
    except FlarenutError as error:
        print(f"{error.message} [{error.code}]", file=sys.stderr)
        return 1


def _photos_verify(asked: argparse.Namespace) -> int:
    from flarenut.photos import desk  # noqa: PLC0415 -- see _app.

    check = desk.verify_and_ask_again if asked.ask_again else desk.verify
    return _on_photos(lambda: check(tell=print))


def _photos_tidy(_asked: argparse.Namespace) -> int:
    from flarenut.photos import desk  # noqa: PLC0415 -- see _app.

    return _on_photos(lambda: desk.tidy(tell=print))


def _photos_conformance(asked: argparse.Namespace) -> int:
    from flarenut.embedded import leave_in_order_when_asked  # noqa: PLC0415 -- see _app.
    from flarenut.photos.conformance import serve_to_anyone  # noqa: PLC0415

    leave_in_order_when_asked()
    serve_to_anyone(port=asked.port, tell=lambda said: print(said, flush=True))
    return 0


def _person_add(asked: argparse.Namespace) -> int:
    from flarenut.people.verbs import add_person  # noqa: PLC0415 -- see _app.

    password = sys.stdin.readline().rstrip("\n")

    def act(company: Any) -> str:
        person = add_person(company, email=asked.email, name=asked.name, role=asked.role, password=password)
        return f"{person.name} ({person.role}) can sign in as {person.email}."

    return _in_company(asked, act)


def _person_end(asked: argparse.Namespace) -> int:
    from flarenut.people.verbs import end_person  # noqa: PLC0415 -- see _app.

    return _in_company(asked, lambda company: f"{end_person(company, email=asked.email).name} can sign in no more.")


def _person_list(asked: argparse.Namespace) -> int:
    from flarenut.people.reads import working_people  # noqa: PLC0415 -- see _app.

    def act(_company: Any) -> str:
        return "\n".join(f"{person.email}\t{person.role}\t{person.name}" for person in working_people())

    return _in_company(asked, act)


def _link_new(asked: argparse.Namespace) -> int:
    from flarenut.people.desk import link_from_desk  # noqa: PLC0415 -- see _app.

    return _in_company(asked, lambda _company: link_from_desk(asked))


if __name__ == "__main__":
    sys.exit(main())
