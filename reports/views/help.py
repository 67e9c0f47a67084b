"""Help in plain words, and the field handbook made of it."""

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.timezone import localdate
from django.views.decorators.http import require_GET

from people.http import MemberRequest
from people.models import Club
from people.rights import Right, require
from reports.help import field_texts as field
from reports.help.book import handbook
from reports.help.topics import BY_KEY, LANDHOLDER, TOPICS
from reports.pdf import render_pdf


@require_GET
def help_index(request: MemberRequest) -> HttpResponse:
    context = {"topics": TOPICS, "defer": field.DEFER, "may_print": request.user.holds(Right.SIGN_UP)}
    return render(request, "reports/help_index.html", context)


@require_GET
def help_topic(request: MemberRequest, topic: str) -> HttpResponse:
    if topic not in BY_KEY:
        raise Http404
    return render(request, "reports/help_topic.html", _topic(topic, "base.html"))


@login_not_required
@require_GET
def help_landholder(request: HttpRequest) -> HttpResponse:
    """Open to everybody: landholders have no account, and nothing here is about anybody."""
    base = "base.html" if request.user.is_authenticated else "base_plain.html"
    return render(request, "reports/help_topic.html", _topic(LANDHOLDER, base))


def _topic(key: str, base: str) -> dict[str, Any]:
    return {"topic": BY_KEY[key], "defer": field.DEFER, "base": base}


@require_GET
def handbook_pdf(request: MemberRequest) -> HttpResponse:
    """With the club's own numbers, so for members."""
    require(request.user, Right.SIGN_UP)
    club = Club.objects.filter(pk=1).first() or Club(name="Stubble")
    pdf = render_pdf(handbook(club, on=localdate()), {})
    response = HttpResponse(pdf, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="field-handbook.pdf"'
    return response
