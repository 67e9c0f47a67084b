"""The board: cases sorted by the time left, in groups by stage, what is late first."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.core.paginator import Paginator
from django.db.models import Q, QuerySet
from django.http import QueryDict
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from finds.case_course import CaseLook, looks_of
from finds.case_home import not_where_it_should_be
from finds.forms import BoardForm
from finds.models import Case, CaseVote
from finds.states import LOCKS, CaseState
from law.pack import load_pack, pack_codes
from law.retold import retold
from people.models import User
from people.rights import Right
from tongue import noop
from web.paging import A_PAGE

MOST = 500  # running cases on one board; a club has tens
GROUPS: tuple[tuple[str, frozenset[CaseState]], ...] = (
    (noop("To look at"), frozenset({CaseState.FLAGGED})),
    (noop("Under review"), frozenset({CaseState.REVIEW})),
    (noop("Reported, to be confirmed"), frozenset({CaseState.REPORTED})),
    (noop("Confirmed, to be decided"), frozenset({CaseState.ACKNOWLEDGED})),
    (noop("Decided, on the way home"), frozenset({CaseState.DECIDED})),
)
WHOSE = [
    ("mine", noop("What I found")),
    ("led", noop("Hunts I led")),
    ("task", noop("With something for me to do")),
    ("sign", noop("Waiting for a second signature")),
]


@dataclass(frozen=True, slots=True)
class Row:
    """One case of the board."""

    look: CaseLook
    finds: str
    places: str
    late: bool
    left: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Group:
    title: str
    rows: tuple[Row, ...]


def board_context(user: User, asked: QueryDict, *, at: datetime) -> dict[str, Any]:
    """Running cases in groups, ended ones below, and the filters. A fixed number of queries."""
    visible = Case.objects.visible_to(user)
    form = _form(visible, user, asked)
    chosen = _chosen(visible, user, form.asked)
    running = list(chosen.filter(state__in=LOCKS).prefetch_related("finds")[:MOST])
    ended = chosen.exclude(state__in=LOCKS).prefetch_related("finds")
    today = localdate(at)
    return {
        "groups": _groups(_rows(running, today)),
        "page": Paginator(ended.order_by("-opened_at", "-pk"), A_PAGE).get_page(asked.get("page")),
        "today": today,
        "form": form,
        "is_narrowed": bool(form.asked),
        "query": asked,
        "may_review": user.holds(Right.REVIEW_CASES),
    }


def _form(visible: QuerySet[Case], user: User, asked: QueryDict) -> BoardForm:
    used = visible.order_by().values_list("finds__site__jurisdiction", flat=True).distinct()
    places = sorted((code, place_name(code)) for code in used if code)
    whose = [(key, _(words)) for key, words in WHOSE if key != "sign" or user.holds(Right.REVIEW_CASES)]
    stages = [(state.value, _(state.value).capitalize()) for state in CaseState]
    return BoardForm(asked, stages=stages, places=places, whose=whose, auto_id="board-%s")


def place_name(code: str) -> str:
    return retold(load_pack(code).title) if code in pack_codes() else code


def _chosen(visible: QuerySet[Case], user: User, asked: dict[str, str]) -> QuerySet[Case]:
    ways = {
        "mine": Q(finds__finder=user),
        "led": Q(finds__hunt__leader=user),
        "task": Q(tasks__whose=user, tasks__done_at=None),
        "sign": Q(votes__says=CaseVote.Says.PROPOSES, votes__answers=None, state=CaseState.REVIEW),
    }
    wanted = Q()
    if "stage" in asked:
        wanted &= Q(state=asked["stage"])
    if "place" in asked:
        wanted &= Q(finds__site__jurisdiction=asked["place"])
    if "whose" in asked:
        wanted &= ways[asked["whose"]]
    return visible.filter(pk__in=visible.filter(wanted).order_by().values("pk"))


def _rows(cases: Sequence[Case], today: date) -> list[Row]:
    """Rows in the order of the day that matters next; those without a day come last."""
    signed = _signed(cases)
    away = {row.case.pk for row in not_where_it_should_be(cases)}
    rows = [_row(look, today, look.case.pk in signed, look.case.pk in away) for look in looks_of(cases)]
    return sorted(rows, key=lambda row: (row.look.due or date.max, row.look.case.opened_at))


def _signed(cases: Sequence[Case]) -> set[int]:
    rows = CaseVote.objects.filter(case__in=cases, says=CaseVote.Says.PROPOSES, answers=None)
    return set(rows.values_list("case", flat=True))


def _row(look: CaseLook, today: date, signed: bool, away: bool) -> Row:
    notes = []
    if signed and look.case.state == CaseState.REVIEW:
        notes.append(_("“No duty” is proposed; a second signature is awaited"))
    if look.case.state == CaseState.DECIDED:
        notes.append(
            _("not yet where it belongs") if away else _("every object is where it belongs; close it")
        )
    return Row(
        look=look,
        finds=", ".join(str(find) for find in look.case.finds.all()),
        places=", ".join(place_name(code) for code in look.places),
        late=look.is_late(today),
        left=left_words(look.due, today) if look.due or look.clock_runs else "",
        notes=tuple(notes),
    )


def left_words(due: date | None, today: date) -> str:
    """'3 days late', 'today', 'tomorrow', '5 days left', 'as soon as possible'."""
    if due is None:
        return _("as soon as possible")
    days = (due - today).days
    if days < -730:
        return _("more than %(years)s years late") % {"years": -days // 366}
    if days < 0:
        return _n("%(days)s day late", "%(days)s days late", -days) % {"days": -days}
    return {0: _("today"), 1: _("tomorrow")}.get(days, _("%(days)s days left") % {"days": days})


def _groups(rows: Sequence[Row]) -> list[Group]:
    """What is late stands first, whatever its stage; each case stands once."""
    groups = [Group(_("Late"), tuple(row for row in rows if row.late))]
    for title, states in GROUPS:
        groups.append(
            Group(_(title), tuple(row for row in rows if not row.late and row.look.case.state in states))
        )
    return [group for group in groups if group.rows]
