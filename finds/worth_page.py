"""What a find is worth: every opinion with those that it corrected, what became of it, and the sheet it stands on."""

from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from finds.actions.worth import club_currency
from finds.forms.worth import FateForm, ValuationForm
from finds.models import Find
from finds.rewards import given_for
from finds.sheets import cases_holding, sum_in_words
from people.models import User
from people.rights import Right


def may_see_worth(find: Find, user: User) -> bool:
    return user.pk == find.finder_id or user.holds(Right.SETTLE)


def worth_context(find: Find, user: User, *, today: date, correct: str = "", **forms: Any) -> dict[str, Any]:
    """The page; `forms` hold what could not be taken, `correct` is the row to put right."""
    rows = list(find.valuations.select_related("by", "corrects", "corrected_by"))
    old = next((row for row in rows if str(row.pk) == correct and not hasattr(row, "corrected_by")), None)
    initial: dict[str, Any] = {"on": today}
    if old is not None:
        same = ("valuer", "method", "low", "high", "on")
        initial = {"corrects": old.pk} | {name: getattr(old, name) for name in same}
        initial |= {name: old_amount(getattr(old, name)) for name in ("low", "high")}
    row = find.sheet_rows.filter(live=True).select_related("sheet").first()
    may_settle = user.holds(Right.SETTLE)
    return {
        "find": find,
        "currency": club_currency(),
        "rows": [{"row": one, "amount": _amount(one), "old": hasattr(one, "corrected_by")} for one in rows],
        "fates": find.fates.select_related("keeper", "by").order_by("-pk"),
        "held": cases_holding([find]).get(find.pk, ""),
        "sheet": row.sheet if row is not None and (may_settle or row.sheet.sent_at) else None,
        "rewards": [
            {
                "given": each,
                "total": sum_in_words(each.reward, each.currency),
                "parts": [(who, percent, sum_in_words(n, each.currency)) for who, percent, n in each.parts],
            }
            for each in given_for([find])
            if each.reward
        ],
        "may_settle": may_settle,
        "correcting": old,
        "form": forms.get("form") or ValuationForm(initial=initial, today=today),
        "fate_form": forms.get("fate_form") or FateForm(initial={"on": today}, find=find, today=today),
    }


def old_amount(amount: Any) -> str:
    """120.00 for 120.000: as it was typed, near enough."""
    text = f"{amount:f}"
    return text[:-1] if text.endswith("0") and "." in text else text


def _amount(row: Any) -> str:
    low, high = (sum_in_words(each, row.currency) for each in (row.low, row.high))
    return low if low == high else _("%(low)s to %(high)s") % {"low": low, "high": high}
