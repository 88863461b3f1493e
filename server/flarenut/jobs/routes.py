"""Addresses of the as-built sheet. A job itself is made through the one write path."""

from typing import Any

from flask import Response
from werkzeug.datastructures import FileStorage

from flarenut.body import Blueprint
from flarenut.errors import TooLarge
from flarenut.jobs.rows import LARGEST_FILE_BYTES
from flarenut.jobs.shapes import CheckedSheet, SheetFile
from flarenut.jobs.sheet import check_sheet
from flarenut.jobs.template import template_csv, template_xlsx
from flarenut.people.access import access

blueprint = Blueprint("jobs", __name__, url_prefix="/api", description="Jobs and their as-built sheets")

WORKBOOK_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def _download(content: bytes, *, media_type: str, name: str) -> Response:
    response = Response(content, mimetype=media_type)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@blueprint.route("/as-built/template.csv")
@access("dispatcher", "technician")
@blueprint.alt_response(200, description="The file, in UTF-8.", success=True)
def get_template_csv() -> Response:
    """The sheet to fill in, as text."""
    return _download(template_csv(), media_type="text/csv", name="as-built.csv")


@blueprint.route("/as-built/template.xlsx")
@access("dispatcher", "technician")
@blueprint.alt_response(200, description="The file.", success=True)
def get_template_xlsx() -> Response:
    """The sheet to fill in, as a workbook."""
    return _download(template_xlsx(), media_type=WORKBOOK_TYPE, name="as-built.xlsx")


@blueprint.route("/as-built/check", methods=["POST"])
@access("dispatcher")
@blueprint.arguments(SheetFile, location="files", content_type="multipart/form-data")
@blueprint.response(200, CheckedSheet)
def post_check(files: dict[str, FileStorage]) -> dict[str, Any]:
    """What a sheet holds, or every reason why it cannot be taken. Nothing is written."""
    content = files["sheet"].stream.read(LARGEST_FILE_BYTES + 1)
    if len(content) > LARGEST_FILE_BYTES:
        limit = LARGEST_FILE_BYTES // 1_000_000
        raise TooLarge("file_too_large", f"The file is larger than {limit} MB, which is the limit.")
    return check_sheet(content)
