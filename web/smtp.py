"""The SMTP backend of Django, which also says when nobody can know whether a message was taken."""

import smtplib
from typing import TYPE_CHECKING, Any

from django.core.mail.backends import smtp

END_OF_MESSAGE = b"\r\n.\r\n"


class PerhapsSentError(Exception):
    """The whole message was handed over and no answer came: the server may have taken it, or not.

    RFC 5321, section 4.5.3.2.6: the reply to the end of the data decides whose the message is from then on.
    """


if TYPE_CHECKING:
    _Base = smtplib.SMTP
else:
    _Base = object


class _Careful(_Base):
    """Tells a connection that broke before the end of a message from one that broke after it."""

    _handed_over = False

    def send(self, s: Any) -> None:
        if isinstance(s, bytes) and s.endswith(END_OF_MESSAGE):
            self._handed_over = True  # before the bytes leave: a send that breaks off is as unknown
        super().send(s)

    def data(self, msg: Any) -> tuple[int, bytes]:
        self._handed_over = False
        try:
            return super().data(msg)
        except smtplib.SMTPResponseException:
            raise  # an answer is an answer
        except OSError as error:  # smtplib's own disconnection is one too
            if self._handed_over:
                raise PerhapsSentError(str(error)) from error
            raise

    def quit(self) -> tuple[int, bytes]:
        """Say goodbye. What the server makes of it says nothing about the letters before."""
        try:
            return super().quit()
        except OSError as error:
            self.close()
            return 421, str(error).encode()


class _SMTP(_Careful, smtplib.SMTP):
    pass


class _SMTPOverTLS(_Careful, smtplib.SMTP_SSL):
    pass


class EmailBackend(smtp.EmailBackend):
    """Django's backend with the connection that knows the difference."""

    @property
    def connection_class(self) -> type[smtplib.SMTP]:
        return _SMTPOverTLS if self.use_ssl else _SMTP
