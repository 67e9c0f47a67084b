"""The field page itself, its worker and its manifest: open to all, since they say nothing about anybody."""

import json

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from field import shell

VERSION_HEADER = "X-Field-Version"


@login_not_required
@require_safe
@ensure_csrf_cookie  # the page may be the first of ours that a browser sees; what it sends needs the cookie
def page(request: HttpRequest) -> HttpResponse:
    version, _ = shell.shell()
    return HttpResponse(shell.page(), headers={VERSION_HEADER: version, "Cache-Control": "no-cache"})


@login_not_required
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    version, files = shell.shell()
    context = {"version": version, "files": json.dumps(files)}
    response = render(request, "field/sw.js", context, content_type="text/javascript; charset=utf-8")
    response["Cache-Control"] = "no-cache"
    return response


@login_not_required
@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    content = "application/manifest+json"
    version, _ = shell.shell()
    headers = {VERSION_HEADER: version, "Cache-Control": "no-cache"}
    return JsonResponse(shell.manifest(), content_type=content, headers=headers)
