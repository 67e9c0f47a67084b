"""Each answer in its reader's language."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.cache import patch_vary_headers

from people.languages import language_for

UNASKED = "/health/"  # answers machines, also while there is no database to ask


class LanguageMiddleware:
    """Speak the reader's language, and say in the answer which it is and on what that hung.

    The language stays until the next request begins with its own: a file that is streamed is written after this.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path_info.startswith(UNASKED):
            translation.deactivate()
            return self.get_response(request)
        language, request.speaks_by_wish = language_for(request)  # type: ignore[attr-defined]
        translation.activate(language)
        response = self.get_response(request)
        if response.get("Content-Type", "").startswith("text/html"):
            response.headers.setdefault("Content-Language", translation.get_language() or language)
        if request.speaks_by_wish:  # type: ignore[attr-defined]
            patch_vary_headers(response, ["Accept-Language"])
        return response
