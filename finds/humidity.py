"""When a storage box has to be read again, its gel dried or changed, and what its card should say."""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _

# Iron at most 10 %: conservators' guidance on storing dry archaeological iron.
# Copper alloy below 35 %: a UNESCO manual.
# Silica gel dried again every 6 to 18 months: handbooks for those who keep finds. That the card
# is read monthly is common practice without a published figure.
LIMIT_PERCENT = {"iron": 10, "copper": 35}
WARN_PERCENT = {"iron": 10, "copper": 34}
GEL_SOON_MONTHS, GEL_LATE_MONTHS = 6, 18
READ_EVERY = timedelta(days=30)


@dataclass(frozen=True, slots=True)
class BoxCare:
    """What one box asks: `status` is open, soon or late, `words` say why, `due` the day of what comes first."""

    status: str
    words: str
    due: date | None


def months_after(day: date, months: int) -> date:
    """The same day so many months later, or the last of a shorter month."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def is_too_damp(kind: str, percent: int | None) -> bool:
    """Iron above 10 %; copper alloy at 35 % or above. Other kinds have no limit that was read anywhere."""
    return percent is not None and percent > WARN_PERCENT.get(kind, 100)


def _read_words(last_read: date | None) -> str:
    if last_read is None:
        return _("card never read")
    return _("card last read %(last_read)s") % {"last_read": date_format(last_read, "j M Y")}


def care_of(
    kind: str,
    has_gel: bool,
    made_on: date,
    last_read: date | None,
    percent: int | None,
    gel_on: date | None,
    today: date,
) -> BoxCare:
    """What the box asks on `today`. `percent` is the last reading; `gel_on` the last day when its gel was dried."""
    if kind not in LIMIT_PERCENT and not has_gel:
        return BoxCare("open", _("no card needed"), None)
    if is_too_damp(kind, percent):
        return BoxCare(
            "late",
            _("card says %(percent)s %%, the limit is %(limit_percent)s %%: dry the gel")
            % {"percent": percent, "limit_percent": LIMIT_PERCENT[kind]},
            last_read,
        )
    gel_from = gel_on or made_on
    gel_due, gel_late = months_after(gel_from, GEL_SOON_MONTHS), months_after(gel_from, GEL_LATE_MONTHS)
    read_due = (last_read or made_on) + READ_EVERY if last_read else made_on
    if has_gel and today > gel_late:
        return BoxCare(
            "late",
            _("gel last dried %(gel_from)s, more than %(gel_late_months)s months ago")
            % {"gel_from": date_format(gel_from, "j M Y"), "gel_late_months": GEL_LATE_MONTHS},
            gel_late,
        )
    if today >= read_due:
        return BoxCare("late" if today > read_due + READ_EVERY else "soon", _read_words(last_read), read_due)
    if has_gel and today >= gel_due:
        return BoxCare(
            "soon",
            _("gel last dried %(gel_from)s; dry it between 6 and 18 months")
            % {"gel_from": date_format(gel_from, "j M Y")},
            gel_due,
        )
    due = min(read_due, gel_due) if has_gel else read_due
    return BoxCare("open", _("next look %(due)s") % {"due": date_format(due, "j M Y")}, due)
