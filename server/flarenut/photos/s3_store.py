"""Whole photos in a bucket of any store that speaks S3. A large one goes in parts, which the store joins."""

import datetime as dt
import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from typing import Any, BinaryIO
from uuid import UUID

import boto3
from boto3.s3.transfer import TransferConfig
from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError

from flarenut.photos.kept import Kept, NotKept, StoreAway, place

# The smallest part that S3 takes, except for the last (Amazon S3 User Guide, multipart upload limits).
PART_BYTES = 5 * 1024 * 1024
_IN_PARTS = TransferConfig(multipart_threshold=PART_BYTES, multipart_chunksize=PART_BYTES, use_threads=False)

LIST_AT_ONCE = 1_000  # as many names as S3 gives in one answer (Amazon S3 API, ListObjectsV2)

_PATIENCE = Config(
    connect_timeout=5,  # [s]
    read_timeout=15,  # [s] less than the database lets a transaction rest
    retries={"mode": "standard", "max_attempts": 3},
    signature_version="s3v4",
    # The content is signed, so the store itself refuses what was damaged on its way there. The newer
    # checksums that boto3 would add are not known to every store.
    s3={"payload_signing_enabled": True},
    request_checksum_calculation="when_required",
    response_checksum_validation="when_required",
)


@dataclass(frozen=True, kw_only=True)
class Bucket:
    """Which bucket, and who asks. Empty means what boto3 finds by itself: the machine's own role, the vendor."""

    name: str
    endpoint: str = ""
    region: str = "us-east-1"
    key_id: str = ""
    key_secret: str = ""

    def client(self) -> Any:
        """One for each process, shared by its threads; made after the fork, on first use."""
        return _client(self)


@cache
def _client(bucket: Bucket) -> Any:
    return boto3.session.Session().client(
        "s3",
        endpoint_url=bucket.endpoint or None,
        region_name=bucket.region or None,
        aws_access_key_id=bucket.key_id or None,
        aws_secret_access_key=bucket.key_secret or None,
        config=_PATIENCE,
    )


@dataclass(frozen=True)
class S3Store:
    """The photos of one company."""

    bucket: Bucket
    company_id: UUID

    def keep(self, name: str, *, content: BinaryIO) -> None:
        """The store shows the object once it has all of it, and never half."""
        with _store_may_be_away():
            # boto3 closes what it is given; the caller's own stays open.
            copy = io.BytesIO(content.read())
            self._client.upload_fileobj(copy, self.bucket.name, self._key(name), Config=_IN_PARTS)

    def read(self, name: str) -> BinaryIO:
        """All of it in memory: a photo has at most some megabytes."""
        with _store_may_be_away():
            try:
                answer = self._client.get_object(Bucket=self.bucket.name, Key=self._key(name))
            except ClientError as error:
                if error.response["Error"]["Code"] in ("NoSuchKey", "404"):
                    raise NotKept(name) from error
                raise
            return io.BytesIO(answer["Body"].read())

    def kept(self) -> Iterator[Kept]:
        """Page by page."""
        with _store_may_be_away():
            asked = {"Bucket": self.bucket.name, "Prefix": self._prefix}
            pages = self._client.get_paginator("list_objects_v2")
            for page in pages.paginate(**asked, PaginationConfig={"PageSize": LIST_AT_ONCE}):
                for entry in page.get("Contents", ()):
                    yield Kept(name=entry["Key"].rpartition("/")[2], kept_at=entry["LastModified"])

    def drop(self, name: str) -> None:
        """Delete the object."""
        with _store_may_be_away():
            self._client.delete_object(Bucket=self.bucket.name, Key=self._key(name))

    def drop_drafts(self, *, before: dt.datetime) -> int:
        """Parts that nobody joined, because the server that sent them died."""
        dropped = 0
        with _store_may_be_away():
            pages = self._client.get_paginator("list_multipart_uploads")
            for page in pages.paginate(Bucket=self.bucket.name, Prefix=self._prefix):
                for entry in page.get("Uploads", ()):
                    if entry["Initiated"] < before:
                        one = {"Key": entry["Key"], "UploadId": entry["UploadId"]}
                        self._client.abort_multipart_upload(Bucket=self.bucket.name, **one)
                        dropped += 1
        return dropped

    @property
    def _client(self) -> Any:
        return self.bucket.client()

    @property
    def _prefix(self) -> str:
        return f"{self.company_id}/"

    def _key(self, name: str) -> str:
        return place(self.company_id, name=name)


def is_reachable(bucket: Bucket) -> bool:
    """Does the bucket answer?"""
    try:
        bucket.client().head_bucket(Bucket=bucket.name)
    except (BotoCoreError, ClientError):
        return False
    return True


@contextmanager
def _store_may_be_away() -> Iterator[None]:
    try:
        yield
    except (BotoCoreError, ClientError) as error:
        raise StoreAway from error
