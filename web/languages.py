"""The language spoken now, as pages and papers name it."""

from django.conf import settings
from django.utils.translation import get_language


def tag_now() -> str:
    """The language spoken now as a tag: 'en-GB', 'nl' (BCP 47)."""
    main, _, region = (get_language() or settings.LANGUAGE_CODE).partition("-")
    return f"{main}-{region.upper()}" if region else main
