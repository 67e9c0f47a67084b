"""What can stop an action on a hunt; each message names the value and what to do instead."""

from collections.abc import Iterable
from datetime import date, datetime

from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n


class HuntError(Exception):
    """Something a person can mend; `str(error)` is the sentence for them."""


class GateShutError(HuntError):
    """The gate is shut for this hunt, with its reasons."""

    def __init__(self, reasons: Iterable[str]) -> None:
        super().__init__(_("The gate is shut, so nothing was changed. ") + " ".join(reasons))


class GateAskError(HuntError):
    """The gate says: ask first, and nobody has written down the answer."""

    def __init__(self) -> None:
        super().__init__(
            _("The gate says to ask first. Ask, tick that you did, and write down who said what.")
        )


class NotEligibleError(HuntError):
    """This person may not come on that day; `reasons` are sentences."""

    def __init__(self, reasons: list[str]) -> None:
        self.reasons = reasons
        super().__init__(" ".join(reasons))


class PlacesError(HuntError):
    """The number of places does not fit the people who hold one."""


class SignUpError(HuntError):
    """Sign-up is not open, or cannot be withdrawn any more."""


class RollCallError(HuntError):
    """In and out cannot be recorded like this."""


class WrongDayError(HuntError):
    """A hunt is started on another day than its own."""


class StillOutError(HuntError):
    """People are still on the field."""

    def __init__(self, code: str, names: list[str]) -> None:
        self.names = names
        who = ", ".join(names)
        super().__init__(
            _n(
                "%(code)s stays open: %(who)s is still out. Sign everybody out first.",
                "%(code)s stays open: %(who)s are still out. Sign everybody out first.",
                len(names),
            )
            % {"code": code, "who": who}
        )


class HeadCountError(HuntError):
    """The count at the gate is not the number who signed in."""

    def __init__(self, counted: int, signed_in: int) -> None:
        super().__init__(
            _(
                "You counted %(counted)s, but %(signed_in)s signed in. Count again, and look for whoever "
                "is missing."
            )
            % {"counted": counted, "signed_in": signed_in}
        )


class UnfilledError(HuntError):
    """Holes are still open and no reason was given."""

    def __init__(self, numbers: list[int]) -> None:
        self.numbers = numbers
        listed = ", ".join(str(number) for number in numbers)
        some = (
            _("Hole %(listed)s is") % {"listed": listed}
            if len(numbers) == 1
            else _("Holes %(listed)s are") % {"listed": listed}
        )
        super().__init__(
            _(
                "%(some)s not filled. Fill them, or say why they stay open; they stay listed until they "
                "are filled."
            )
            % {"some": some}
        )


class AlreadyClosedError(HuntError):
    """Somebody else closed it first."""

    def __init__(self, code: str, who: str, when: datetime | None) -> None:
        words = (
            _("%(code)s was already closed by %(who)s (%(when)s). You need do nothing more.")
            if when
            else _("%(code)s was already closed by %(who)s. You need do nothing more.")
        )
        at = date_format(localtime(when), "j M Y, H:i") if when else ""
        super().__init__(words % {"code": code, "who": who or _("somebody"), "when": at})


class HoleDateError(HuntError):
    """A hole is dated outside its hunt or in the future."""

    def __init__(self, dug_at: datetime, code: str, on: date, *, at: datetime) -> None:
        when = localtime(dug_at)
        if dug_at > at:
            super().__init__(
                _("%(when)s has not come yet; give the time when it was dug.")
                % {"when": date_format(when, "j M Y, H:i")}
            )
        else:
            super().__init__(
                _("%(when)s is not the day of %(code)s (%(on)s); give a time on that day.")
                % {"when": date_format(when, "j M Y"), "code": code, "on": date_format(on, "j M Y")}
            )


class HoleError(HuntError):
    """A hole cannot be changed, filled or checked like this."""


class TrackError(HuntError):
    """A track cannot be kept for this person on this hunt."""


class KitError(HuntError):
    """A set-up, a reading or a bench test cannot be kept like this."""


class GuestError(HuntError):
    """A guest or a junior cannot come, or be signed in or out, like this."""


class LoneHuntError(HuntError):
    """A lone hunt cannot be kept like this."""


class RiskError(HuntError):
    """A risk assessment cannot be kept like this."""
