"""The one page that asks for something and has a Save button."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render

from people.http import MemberRequest


def form_page(
    request: MemberRequest, form: forms.BaseForm, title: str, back: str, **more: Any
) -> HttpResponse:
    """The form under its title; `back` is an address, `draw` in `more` puts a map above the boundary."""
    return render(request, "permissions/form.html", {"form": form, "title": title, "back": back, **more})


def say(request: MemberRequest, words: str, notes: tuple[str, ...] | list[str] = ()) -> None:
    """What was done, and what is worth a look."""
    messages.success(request, words)
    for note in notes:
        messages.info(request, note)


def complain(request: MemberRequest, form: forms.BaseForm) -> None:
    """The errors of a short form whose page is shown again."""
    for errors in form.errors.values():
        for error in errors:
            messages.error(request, str(error))
