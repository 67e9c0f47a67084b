"""A browser that is signed in."""

from typing import Any

from django.test import Client


def client_of(user: Any) -> Client:
    client = Client()
    client.force_login(user)
    return client
