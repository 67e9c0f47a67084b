"""What is logged, in which form; of addresses with a key in them, never the key."""

from typing import Any


def logging_of(form: str, level: str) -> dict[str, Any]:
    """The setting LOGGING: everything goes to standard error, as lines in `form`, plain or json."""
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {
            "plain": {
                "()": "web.plain_log.PlainLines",
                "format": "%(asctime)s %(levelname)s %(name)s %(message)s",
            },
            "json": {"()": "web.log_lines.JsonLines"},
        },
        "filters": {"hide_keys": {"()": "web.log_keys.HideKeys"}},
        "handlers": {
            "console": {"class": "logging.StreamHandler", "formatter": form, "filters": ["hide_keys"]}
        },
        # What is logged of a request names its path: at the source too, for handlers that a club adds.
        "loggers": {name: {"filters": ["hide_keys"]} for name in ("django.request", "django.security.csrf")}
        | {"django.server": {"filters": ["hide_keys"], "propagate": True}},
        "root": {"handlers": ["console"], "level": level},
    }
