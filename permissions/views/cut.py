"""Split a site along a line, or merge it with neighbours: looked at first, then saved."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from geo.polygon import CheckedBoundary
from people.http import MemberRequest
from people.rights import Right, require
from permissions import actions
from permissions.carry import CannotCarryError
from permissions.cut_page import board, cut_context, neighbours_of
from permissions.forms import MergeForm, PartForms, SplitForm, mark_of, merge_names, split_names
from permissions.models import Site
from permissions.terms.plain import listed
from permissions.views._page import say
from web.taken import TakenError

Save = Callable[[list[actions.Part]], list[Site]]


@dataclass(frozen=True)
class _Cutting:
    """What is to be made: from which sites, of what ground, with which names suggested."""

    form: SplitForm | MergeForm
    old: Sequence[Site]
    boundaries: Sequence[CheckedBoundary]
    notes: Sequence[str]
    names: list[tuple[str, str]]


def _site(request: MemberRequest, pk: int) -> Site:
    require(request.user, Right.MANAGE_LAND)
    return get_object_or_404(Site.objects.visible_to(request.user), pk=pk)


@require_http_methods(["GET", "POST"])
def site_split(request: MemberRequest, pk: int) -> HttpResponse:
    site = _site(request, pk)
    form = SplitForm(request.POST or None, site=site)
    cutting = None
    if request.method == "POST" and form.is_valid() and form.cut:
        names = split_names(site, len(form.cut.parts))
        cutting = _Cutting(form, [site], form.cut.parts, form.cut.notes, names)
    who: dict[str, Any] = {"by": request.user, "at": now(), "on": localdate()}
    context = {"site": site, "form": form, "draw": board(site)}
    return _cut_page(
        request, "site_split", context, cutting, lambda parts: actions.split_site(pk, parts=parts, **who)
    )


@require_http_methods(["GET", "POST"])
def site_merge(request: MemberRequest, pk: int) -> HttpResponse:
    site = _site(request, pk)
    neighbours = neighbours_of(site, request.user)
    form = MergeForm(request.POST or None, site=site, neighbours=neighbours)
    cutting = None
    if request.method == "POST" and form.is_valid() and form.merged:
        cutting = _Cutting(form, form.chosen, [form.merged], form.merged.notes, merge_names(form.chosen))
    who: dict[str, Any] = {"by": request.user, "at": now(), "on": localdate()}
    context = {"site": site, "form": form, "draw": board(site, neighbours), "neighbours": neighbours}
    return _cut_page(
        request,
        "site_merge",
        context,
        cutting,
        lambda parts: [actions.merge_sites([s.pk for s in form.chosen], part=parts[0], **who)],
    )


def _cut_page(
    request: MemberRequest, page: str, context: dict[str, Any], cutting: _Cutting | None, save: Save
) -> HttpResponse:
    """The page with what would be made, until that has been looked at and can be saved."""
    site: Site = context["site"]
    if (done := _made_already(request, context["form"])) is not None:
        return redirect("permissions:site_detail", pk=done.pk)
    if cutting is not None:
        look = cut_context(cutting.old, cutting.boundaries, cutting.notes, on=localdate())
        seen = cutting.form.was_seen(mark_of([b.geometry for b in cutting.boundaries]))
        saving = "save" in request.POST and seen
        parts = _parts(request, cutting, bound=saving)
        if saving and not look["problem"] and parts.is_valid() and (new := _saved(save, parts, look)):
            say(
                request,
                _("%(site)s is now %(new)s; its past is kept.")
                % {"site": site, "new": listed(list(map(str, new)))},
            )
            return redirect("permissions:site_detail", pk=new[0].pk)
        context |= {"look": look, "parts": parts, "errors": parts.errors() if saving else []}
    return render(request, f"permissions/{page}.html", context)


def _parts(request: MemberRequest, cutting: _Cutting, *, bound: bool) -> PartForms:
    return PartForms(
        request.POST if bound else None,
        boundaries=cutting.boundaries,
        names=cutting.names,
        user=request.user,
        key=cutting.form.cleaned_data["client_id"],
    )


def _saved(save: Save, parts: PartForms, look: dict[str, Any]) -> list[Site]:
    """The new sites; none, with the reason on the page, where they cannot be made."""
    try:
        return save(parts.parts())
    except (actions.CutError, TakenError, CannotCarryError) as error:
        look["problem"] = str(error)
        return []


def _made_already(request: MemberRequest, form: SplitForm | MergeForm) -> Site | None:
    """The first new site, where the same form was saved before: its neighbours are retired by then."""
    key = form.first_key if "save" in request.POST else None
    return Site.objects.visible_to(request.user).filter(client_id=key).first() if key else None
