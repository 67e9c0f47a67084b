"""What an answer of the mail server means for a letter, and when it is tried again."""

import smtplib
from dataclasses import dataclass
from datetime import timedelta

from django.utils.translation import gettext as _

from people.models import Letter
from web.smtp import PerhapsSentError

Trouble = Letter.Trouble

STEPS_MIN = (1, 5, 15, 60, 240)
LATER_MIN = 720
ALARM_MIN = 2
LAST_TRY = 11
"""The try after which a letter is given up: about three days after the first one (the waits below add up to 65 hours).

Our own choice: RFC 5321, section 4.5.4.1, has relays try for 4 to 5 days, but a club's news is stale by then.
"""


@dataclass(frozen=True, slots=True)
class Failure:
    """Why a letter did not leave, or perhaps did: `is_unsure`."""

    trouble: Letter.Trouble
    words: str
    is_unsure: bool = False


def judge(error: Exception) -> Failure:
    """What `error` means: the server's own trouble, a recipient refused for now (4xx) or for good (5xx), or unknown.

    Source: RFC 5321, section 4.2.1 (first digit 4: transient, 5: permanent) and 3.8 (421: the server closes).
    """
    if isinstance(error, PerhapsSentError):
        return Failure(
            Trouble.SERVER,
            (_("Handed over, then no answer: %(error)s") % {"error": error})[:300],
            is_unsure=True,
        )
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        code, said = next(iter(error.recipients.values()), (550, b""))
        return _by_code(code, said)
    if isinstance(error, smtplib.SMTPDataError):
        return _by_code(error.smtp_code, error.smtp_error)
    if isinstance(error, smtplib.SMTPResponseException):  # greeting, sign-in, our own sender address
        return Failure(Trouble.SERVER, _words(error.smtp_code, error.smtp_error))
    if isinstance(error, OSError):
        return Failure(Trouble.SERVER, f"{type(error).__name__}: {error}"[:300])
    return Failure(
        Trouble.NEVER, (_("It cannot be written as an e-mail: %(error)s") % {"error": error})[:300]
    )


def _by_code(code: int, said: bytes | str) -> Failure:
    if code == 421:
        return Failure(Trouble.SERVER, _words(code, said))
    return Failure(Trouble.LATER if 400 <= code < 500 else Trouble.NEVER, _words(code, said))


def _words(code: int, said: bytes | str) -> str:
    text = said.decode("utf-8", "replace") if isinstance(said, bytes) else said
    return " ".join(f"{code} {text}".split())[:300]


def wait_after(tries: int, *, is_alarm: bool, share: float) -> timedelta:
    """How long to wait after the try with this number: 1, 5, 15, 60 minutes, 4 hours, then 12 hours; alarms 2 minutes.

    `share` (0 to 1) spreads the tries by a fifth either way, so that letters do not come back in one crowd.
    """
    minutes = STEPS_MIN[tries - 1] if tries <= len(STEPS_MIN) else LATER_MIN
    return timedelta(minutes=(ALARM_MIN if is_alarm else minutes) * (0.8 + 0.4 * share))
