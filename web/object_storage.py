"""Private files in an object store of the S3 kind, for clubs that run several servers without a shared disk.

Nothing in it is public: no address of an object ever leaves, files go out through the same access-checked views.
"""

from collections.abc import Callable
from datetime import datetime
from functools import wraps
from typing import Any

from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError
from storages.backends.s3 import S3Storage

IN_MEMORY = 4 * 1024 * 1024
CONNECT_S, ANSWER_S, TRIES = 5, 30, 3


class ObjectStoreError(OSError):
    """The store did not do what it was asked; what reads files handles it as it handles a disk that fails."""


def _told(method: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(method)
    def ask(self: "PrivateObjects", *args: Any, **kwargs: Any) -> Any:
        try:
            return method(self, *args, **kwargs)
        except ClientError as error:
            code = error.response.get("Error", {}).get("Code", "")
            raise ObjectStoreError(f"The object store refused {error.operation_name}: {code}.") from error
        except BotoCoreError as error:
            raise ObjectStoreError(f"The object store does not answer: {type(error).__name__}.") from error

    return ask


class PrivateObjects(S3Storage):  # type: ignore[misc]  # django-storages has no types
    """django-storages' backend, made to keep names, to write nothing over and to give no address away."""

    def get_default_settings(self) -> dict[str, Any]:
        config = Config(
            s3={"addressing_style": "path"},  # stores of one's own have no name for each bucket
            signature_version="s3v4",
            connect_timeout=CONNECT_S,
            read_timeout=ANSWER_S,
            retries={"max_attempts": TRIES, "mode": "standard"},
            request_checksum_calculation="when_required",  # what came later than S3 itself, few others know
            response_checksum_validation="when_required",
        )
        own = {
            "client_config": config,
            "default_acl": None,  # what the bucket says, which has to be private
            "file_overwrite": False,
            "max_memory_size": IN_MEMORY,
            "object_parameters": {"CacheControl": "private, no-store"},
        }
        return {**super().get_default_settings(), **own}

    def url(self, *args: Any, **kwargs: Any) -> str:
        raise NotImplementedError("A private file has no address; it goes out through a view.")

    @_told
    def _open(self, name: str, mode: str = "rb") -> Any:
        return super()._open(name, mode)

    @_told
    def _save(self, name: str, content: Any) -> str:
        return str(super()._save(name, content))

    @_told
    def delete(self, name: str) -> None:
        super().delete(name)

    @_told
    def exists(self, name: str) -> bool:
        return bool(super().exists(name))

    @_told
    def listdir(self, name: str) -> tuple[list[str], list[str]]:
        folders, files = super().listdir(name)
        return list(folders), list(files)

    @_told
    def get_modified_time(self, name: str) -> datetime:
        when: datetime = super().get_modified_time(name)
        return when

    @_told
    def size(self, name: str) -> int:
        return int(super().size(name))
