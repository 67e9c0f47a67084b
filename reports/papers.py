"""The papers of a sheet or a find: who signs them, their exact text, and whether it is still true."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from finds.models import Find, Sheet
from finds.settlement import SettlementError
from finds.sheets import finds_on, refuse_held
from finds.states import LIVE_SHEETS
from people.languages import speaking
from people.models import Club, User
from permissions.models import Landholder
from reports.agreements import digest_of, says
from reports.blocks import Report
from reports.build.settlement import STATEMENT, Worked, settlement_report, worked
from reports.build.title import statement, title_report
from reports.content import from_data, to_data
from reports.models import Paper, PaperKind, PaperSigner
from reports.plain import plain_report


@dataclass(frozen=True)
class Asked:
    """One who is to sign a paper."""

    role: str
    name: str
    user: User | None = None
    landholder: Landholder | None = None

    @property
    def language(self) -> str:
        asked = self.landholder or self.user
        return asked.language if asked else ""


@dataclass(frozen=True)
class PaperDraft:
    """A paper as it would be frozen, and who signs it."""

    party: str
    report: Report
    signers: tuple[Asked, ...]


def club_name() -> str:
    return Club.objects.filter(pk=1).values_list("name", flat=True).first() or _("The club")


def sheet_drafts(sheet: Sheet, on: date) -> list[PaperDraft]:
    """The whole sheet and one paper for each finder and each landholder. Raises SettlementError.

    Each is worked out in its reader's language, as `is_current` does: the working holds words too.
    """
    finds = finds_on(sheet)
    with speaking(""):
        w = worked(sheet, finds, club_name())
        drafts = [PaperDraft("", settlement_report(w, "", number=sheet.number, on=on), ())]
    for place, (key, asked) in enumerate(_parties(w), 1):
        with speaking(asked.language):
            theirs = worked(sheet, finds, club_name())
            report = settlement_report(theirs, key, number=f"{sheet.number}-{place}", on=on)
        drafts.append(PaperDraft(key, report, (asked,)))
    return drafts


def _parties(w: Worked) -> list[tuple[str, Asked]]:
    """Both sides: finders in the order of their finds, then landholders who have a share or hold something."""
    users = {f"user:{find.finder_id}": find.finder for find in w.finds}
    rows = [(key, Asked("finder", users[key].name, user=users[key])) for key in w.finders]
    held = dict(w.answer.held)
    for share in w.sheet.shares.select_related("landholder"):
        key = f"landholder:{share.landholder_id}"
        if share.percent or held.get(key):
            rows.append((key, Asked("landholder", share.landholder.name, landholder=share.landholder)))
    return rows


def is_current(paper: Paper) -> bool:
    """Does the paper still say what the records say? Also false once a case holds the find or the sheet ended."""
    try:
        with speaking(paper.content["language"].lower()):
            now = _made_again(paper)
    except SettlementError:
        return False
    return now is not None and says(to_data(now)) == says(paper.content)


def _made_again(paper: Paper) -> Report | None:
    on = date.fromisoformat(paper.content["issued_on"])
    if paper.sheet is not None:
        if paper.sheet.state not in LIVE_SHEETS:
            return None
        w = worked(paper.sheet, finds_on(paper.sheet), club_name())
        return settlement_report(w, paper.party, number=paper.number, on=on)
    assert paper.find is not None  # the constraint paper_about_one_thing
    refuse_title(paper.find, paper.given)
    return title_report(read_find(paper.find.pk), paper.given, club_name(), number=paper.number, on=on)


def read_find(find_id: int) -> Find:
    """A find with what a paper about it says."""
    rows = Find.objects.select_related("finder", "hunt", "site").prefetch_related("materials", "photos")
    return rows.get(pk=find_id)


def refuse_title(find: Find, given: dict[str, Any]) -> None:
    """Raise SettlementError where title cannot be passed: a withdrawn record, or a running case.

    The State's own disclaimer is taken while its case is being closed: that is what ends it.
    """
    if find.withdrawn_at is not None:
        raise SettlementError(
            _("The record of %(find_number)s was withdrawn, so nothing can be passed on by it.")
            % {"find_number": find.number}
        )
    by_state = given["kind"] == "disclaimer" and given.get("by_state")
    if not (by_state and find.cases.filter(decision="disclaimed").exists()):
        refuse_held([find])


def title_number(find: Find, kind: str) -> str:
    """T-F2026-0042-1 for the first transfer; D for a disclaimer."""
    count = Paper.objects.filter(find=find, kind=kind).count() + 1
    return f"{'T' if kind == PaperKind.TRANSFER else 'D'}-{find.number}-{count}"


def statement_of(signer: PaperSigner) -> str:
    """The sentence that the signer ticks, in the language of what they sign."""
    paper = signer.paper
    with speaking(paper.content["language"].lower()):
        if paper.find is not None:
            return statement(paper.given, paper.find.number)
        return f"{_(STATEMENT)} ({paper.number})"


def signed_text(signer: PaperSigner) -> str:
    """The exact text a signature stands under: the whole paper, its hash, and the sentence ticked."""
    content = signer.paper.content
    with speaking(content["language"].lower()):
        words = plain_report(from_data(content))
    return f"{words}\nContent SHA-256 {signer.paper.content_sha256}\n\n{statement_of(signer)}"


def drafts_sha256(drafts: Iterable[PaperDraft]) -> str:
    """One hash of what all drafts say, to notice that somebody changed something since they were read."""
    return digest_of("\n".join(says(to_data(draft.report)) for draft in drafts))


def papers_for(landholder: Landholder) -> list[PaperSigner]:
    """What a landholder is or was asked to sign about finds, newest first; for their own page."""
    rows = PaperSigner.objects.filter(landholder=landholder, revoked_at=None)
    return list(rows.select_related("paper__sheet", "signature").order_by("-pk"))
