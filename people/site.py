"""The address of this site as it stands in letters."""

from django.conf import settings
from django.http import HttpRequest


def site_of(request: HttpRequest) -> str:
    """PUBLIC_URL where it is set, else the host that was asked (one of ALLOWED_HOSTS); no slash at the end."""
    return (settings.PUBLIC_URL or request.build_absolute_uri("/")).rstrip("/")
