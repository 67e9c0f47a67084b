"""The page of one paper for one who signs it, by account or by address; and the papers of one find."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from finds.models import Find
from finds.sheets import cases_holding, finder_key, landholder_key, landholders_then
from people.models import User
from reports.agreements import digest_of
from reports.content import from_data
from reports.models import Paper, PaperSigner
from reports.papers import Asked, club_name, is_current, read_find, signed_text, statement_of
from reports.sheet_page import signer_row
from reports.sign_forms import DeclineForm, SignForm
from reports.title_forms import TitleForm
from web.sign_form import stroke_paths

CLUB = "club"


def sign_context(
    signer: PaperSigner, urls: Mapping[str, str], photo_urls: Mapping[str, str], **forms: Any
) -> dict[str, Any]:
    """What was signed; or the text with its form; or that it is out of date. `urls`: pdf, sign, dispute."""
    paper, signature = signer.paper, getattr(signer, "signature", None)
    context: dict[str, Any] = {
        "signer": signer,
        "paper": paper,
        "report": from_data(paper.content),
        "photo_urls": photo_urls,
        "urls": urls,
        "signature": signature,
        "strokes": stroke_paths(signature.drawn) if signature else [],
        "outdated": signature is None and not is_current(paper),
    }
    if signature is None and not context["outdated"]:
        initial = {"read_sha256": digest_of(signed_text(signer))}
        form = SignForm(statement=statement_of(signer), initial=initial)
        context["form"] = forms.get("form") or form
        context["dispute_form"] = forms.get("dispute_form") or DeclineForm(auto_id="dispute-%s")
    return context


def title_people(find: Find) -> list[tuple[str, str]]:
    """Who may stand on a title paper by name: the finder, the landholders of the day, the club."""
    people = [(finder_key(find.finder_id), find.finder.name)]
    people += [(landholder_key(one.pk), one.name) for one in landholders_then([find])]
    return [*people, (CLUB, club_name())]


def title_signers(form: TitleForm, find: Find, by: User) -> list[Asked]:
    """Both parties; only the giver of a disclaimer; nobody where the State's letter speaks."""
    if form.cleaned_data["by_state"]:
        return []
    sides = ("giver",) if form.cleaned_data["kind"] == "disclaimer" else ("giver", "receiver")
    people = {landholder_key(one.pk): one for one in landholders_then([find])}
    asked = []
    for side in sides:
        key = form.cleaned_data[side]
        user = find.finder if key == finder_key(find.finder_id) else by if key == CLUB else None
        asked.append(Asked(side, form.name_of(side), user=user, landholder=people.get(key)))
    return asked


def titles_context(
    pk: int, form: TitleForm | None, *, at: datetime, absolute: Callable[[str], str]
) -> dict[str, Any]:
    """The papers of one find with their signatures, kept for its life, and the form of a new one."""
    find = read_find(pk)
    papers = Paper.objects.filter(find=find).prefetch_related("signers__signature", "signers__landholder")
    return {
        "find": find,
        "held": cases_holding([find]).get(find.pk, ""),
        "papers": [
            {
                "paper": paper,
                "rows": [signer_row(s, at=at, absolute=absolute) for s in paper.signers.all()],
                "authority": paper.given.get("authority", ""),
            }
            for paper in papers.order_by("-pk")
        ],
        "form": form
        or TitleForm(people=title_people(find), initial={"effective": at.date(), "kind": "transfer"}),
    }
