"""What can stop an action on a hunt; each message names the value and what to do instead."""

from collections.abc import Iterable
from datetime import date, datetime

from django.utils.timezone import localtime


class HuntError(Exception):
    """Something a person can mend; `str(error)` is the sentence for them."""


class GateShutError(HuntError):
    """The gate is shut for this hunt, with its reasons."""

    def __init__(self, reasons: Iterable[str]) -> None:
        super().__init__("The gate is shut, so nothing was changed. " + " ".join(reasons))


class GateAskError(HuntError):
    """The gate says: ask first, and nobody has written down the answer."""

    def __init__(self) -> None:
        super().__init__("The gate says to ask first. Ask, tick that you did, and write down who said what.")


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
            f"{code} stays open: {who} {'is' if len(names) == 1 else 'are'} still out. Sign everybody out first."
        )


class HeadCountError(HuntError):
    """The count at the gate is not the number who signed in."""

    def __init__(self, counted: int, signed_in: int) -> None:
        super().__init__(
            f"You counted {counted}, but {signed_in} signed in. Count again, and look for whoever is missing."
        )


class UnfilledError(HuntError):
    """Holes are still open and no reason was given."""

    def __init__(self, numbers: list[int]) -> None:
        self.numbers = numbers
        listed = ", ".join(str(number) for number in numbers)
        some = f"Hole {listed} is" if len(numbers) == 1 else f"Holes {listed} are"
        super().__init__(
            f"{some} not filled. Fill them, or say why they stay open; they stay listed until they are filled."
        )


class AlreadyClosedError(HuntError):
    """Somebody else closed it first."""

    def __init__(self, code: str, who: str, when: datetime | None) -> None:
        at = f" at {localtime(when):%H:%M on %-d %b %Y}" if when else ""
        super().__init__(f"{code} was already closed by {who or 'somebody'}{at}. You need do nothing more.")


class HoleDateError(HuntError):
    """A hole is dated outside its hunt or in the future."""

    def __init__(self, dug_at: datetime, code: str, on: date, *, at: datetime) -> None:
        when = localtime(dug_at)
        if dug_at > at:
            super().__init__(f"{when:%-d %b %Y, %H:%M} has not come yet; give the time when it was dug.")
        else:
            super().__init__(
                f"{when:%-d %b %Y} is not the day of {code} ({on:%-d %b %Y}); give a time on that day."
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
