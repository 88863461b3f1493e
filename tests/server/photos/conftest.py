"""An issue of the contractor's, and a photo of it that has been announced and not sent."""

from pathlib import Path
from typing import Any

import pytest

from tests.builders import an_issue
from tests.server.photos.sending import CONTENT, announce, id_of, make
from tests.server.site import Site


@pytest.fixture
def issue(site: Site) -> str:
    """An issue that the contractor must act on."""
    return an_issue(site.phone, job=site.job)


@pytest.fixture
def photo(site: Site, issue: str) -> str:
    """A photo that Ben announced and has not sent yet."""
    return str(announce(site.phone, site, CONTENT, issue_id=issue)["photo"])


@pytest.fixture
def upload(site: Site) -> str:
    """An upload of a hundred bytes, of which none has come."""
    return id_of(make(site.phone))


@pytest.fixture
def folder(app: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for photos that only this test knows: what others left there is no orphan of its own."""
    monkeypatch.setitem(app.config, "FLARENUT_PHOTO_DIR", tmp_path / "photos")
    return tmp_path / "photos"
