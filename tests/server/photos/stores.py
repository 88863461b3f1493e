"""Three stores to keep photos in: a folder, and two programs that speak S3, one of them over a real line."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import UUID, uuid4

import boto3
from botocore.config import Config
from moto import mock_aws

from flarenut.photos.disk_store import DiskStore
from flarenut.photos.s3_store import Bucket, S3Store, _client

KEY_ID, KEY_SECRET = "an-invented-key", "an invented secret of some length"
STARTS_WITHIN_S = 30


@contextmanager
def on_disk(folder: Path, company_id: UUID) -> Iterator[DiskStore]:
    """A folder."""
    yield DiskStore(folder, company_id)


@contextmanager
def in_memory_s3(_folder: Path, company_id: UUID) -> Iterator[S3Store]:
    """S3 as boto3 sees it, answered inside this process."""
    with mock_aws():
        yield S3Store(_made(Bucket(name=f"photos-{uuid4().hex}", key_id=KEY_ID, key_secret=KEY_SECRET)), company_id)


@contextmanager
def s3_on_a_line(folder: Path, company_id: UUID) -> Iterator[S3Store]:
    """A small S3 server of its own, which checks signatures."""
    with an_s3_server(folder) as endpoint:
        yield S3Store(_made(a_bucket(endpoint)), company_id)


def a_bucket(endpoint: str) -> Bucket:
    """A bucket there, not made yet."""
    return Bucket(name=f"photos-{uuid4().hex}", endpoint=endpoint, key_id=KEY_ID, key_secret=KEY_SECRET)


def _made(bucket: Bucket) -> Bucket:
    _client.cache_clear()
    make_bucket(bucket)
    return bucket


def make_bucket(bucket: Bucket) -> None:
    """As whoever sets the server up would."""
    boto3.session.Session().client(
        "s3",
        endpoint_url=bucket.endpoint or None,
        region_name=bucket.region,
        aws_access_key_id=bucket.key_id,
        aws_secret_access_key=bucket.key_secret,
        config=Config(request_checksum_calculation="when_required"),
    ).create_bucket(Bucket=bucket.name)


@contextmanager
def an_s3_server(folder: Path) -> Iterator[str]:
    """On the loopback only; its address."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [str(Path(sys.executable).with_name("nanio")), "serve", "--host", "127.0.0.1", "--port", str(port)]
    keys = {"NANIO_ACCESS_KEY": KEY_ID, "NANIO_SECRET_KEY": KEY_SECRET}
    process = subprocess.Popen(
        [*command, "--data-dir", str(folder / "s3"), "--log-level", "error", "--no-access-log"],
        env={**os.environ, **keys},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        _wait_for(port)
        yield f"http://127.0.0.1:{port}"
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait(10)


def _wait_for(port: int) -> None:
    until = time.monotonic() + STARTS_WITHIN_S
    while True:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            assert time.monotonic() < until, "the S3 server does not start"
            time.sleep(0.05)
        else:
            return
