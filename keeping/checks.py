"""System checks: a club whose records nobody could bring back is told so in words."""

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.conf import settings
from django.core import checks
from django.core.checks import CheckMessage, register

from keeping.errors import KeepingError
from keeping.key import read_recipients


@register("backups")
def backups_can_be_made(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """Warn, outside development, where there is no key that a backup could be sealed with."""
    if settings.DEBUG:
        return []
    try:
        read_recipients(settings.BACKUP_KEYS)
    except KeepingError as error:
        hint = "See docs/keeping.md: it takes a quarter of an hour, once."
        return [checks.Warning(f"No backup can be made. {error}", hint=hint, id="stubble.W020")]
    return []
