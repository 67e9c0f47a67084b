"""Types of requests as views meet them."""

from django.http import HttpRequest

from people.models import User


class MemberRequest(HttpRequest):
    """A request behind the log-in: `user` is an account, never anonymous."""

    user: User
