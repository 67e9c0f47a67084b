"""The page of looks: every full view of a locked findspot, of locked holes and incidents, and what was unusual."""

from typing import Any

from django.core.paginator import Paginator

from finds.forms.looks import AnswerForm, ReaderForm
from finds.models import FindspotView
from people.actions.reading import SEEN
from people.models import AuditEntry, UnusualReading, User
from web.paging import A_PAGE

HOLES = 50
FLAGS = 20


def looks_context(user: User, asked: Any, form: AnswerForm | None = None, about: int = 0) -> dict[str, Any]:
    """Everything newest first. `form` is what was sent about the row `about` and could not be kept."""
    readers = ReaderForm(asked)
    reader = readers.cleaned_data.get("reader") if readers.is_valid() else None
    looks = FindspotView.objects.select_related("find", "by")
    holes = AuditEntry.objects.filter(verb__in=SEEN).select_related("by")
    if reader is not None:
        looks, holes = looks.filter(by=reader), holes.filter(by=reader)
    flags = UnusualReading.objects.select_related("reader", "answered_by")
    return {
        "readers": readers,
        "page": Paginator(looks, A_PAGE).get_page(asked.get("page")),
        "holes": list(holes[:HOLES]),
        "flags": [_flag(row, user, form if row.pk == about else None) for row in flags[:FLAGS]],
    }


def _flag(row: UnusualReading, user: User, sent: AnswerForm | None) -> dict[str, Any]:
    may_answer = row.answered_at is None and row.reader_id != user.pk
    form = (sent or AnswerForm(auto_id=f"answer-{row.pk}-%s")) if may_answer else None
    return {"row": row, "form": form, "is_own": row.reader_id == user.pk}
