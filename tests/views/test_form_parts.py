"""Long forms in parts: what a fold says, when it stands open, and that nothing in it is lost."""

from typing import Any

import pytest
from django import forms
from django.test import Client
from django.urls import reverse

from finds.forms.find import FindForm
from finds.models import Find
from people.models import User
from permissions.forms import PermissionForm
from tests import make
from web.form_parts import Part, PartsMixin
from web.forms import BaseForm


class Trowels(PartsMixin, BaseForm):
    name = forms.CharField()
    length_mm = forms.IntegerField(required=False, label="Length")
    count = forms.IntegerField(required=False, initial=1)
    sharp = forms.BooleanField(required=False)
    secret = forms.CharField(required=False, widget=forms.HiddenInput)

    FOLDS = (("More", ("length_mm", "count", "sharp", "secret")),)


def fold(form: Any, title: str = "More") -> Part:
    return next(part for part in form.parts if part.title == title)


def test_a_new_form_is_folded_and_says_of_nothing_that_it_is_filled_in() -> None:
    first, more = Trowels().parts
    assert [field.name for field in first.fields] == ["name"]
    assert [field.name for field in more.fields] == [
        "length_mm",
        "count",
        "sharp",
    ]  # hidden ones go elsewhere
    assert not more.is_open
    assert more.filled == []


def test_a_fold_names_what_a_record_holds_and_opens_for_what_was_typed_or_is_wrong() -> None:
    kept = fold(Trowels(initial={"length_mm": 30, "sharp": True}))
    assert (kept.filled, kept.is_open) == (["Length", "Sharp"], False)
    assert fold(Trowels({"name": "a", "count": "1"})).is_open is False
    assert fold(Trowels({"name": "a", "count": "2"})).is_open
    assert fold(Trowels({"name": "a", "length_mm": "long"})).is_open


def test_a_fold_whose_fields_were_taken_off_is_not_shown() -> None:
    form = Trowels()
    for name in ("length_mm", "count", "sharp"):
        del form.fields[name]
    assert [part.title for part in form.parts] == [""]


@pytest.mark.django_db
def test_every_field_of_a_find_and_of_a_permission_is_in_one_part(member: User, secretary: User) -> None:
    hunt = make.hunt(leader=member, state="running")
    for form in (FindForm(hunt=hunt, by=member, at=make.moment(2026, 6, 1)), PermissionForm(user=secretary)):
        shown = [field.name for part in form.parts for field in part.fields]
        assert sorted(shown) == sorted(field.name for field in form.visible_fields())


@pytest.mark.django_db
def test_a_wrong_weight_is_seen_and_what_a_find_is_made_of_is_told(member: User, client: Client) -> None:
    hunt = make.hunt(leader=member, state="running")
    client.force_login(member)
    typed = {"weight_g": "heavy", "materials": "gold", "certainty": Find().certainty}
    page = client.post(reverse("finds:record", args=[hunt.pk]), typed)
    form = page.context["form"]
    assert fold(form, "Weight and size").is_open
    assert fold(form, "What it is made of").filled == ["Materials"]
    assert not fold(form, "How old it is").is_open
    assert page.text.count("<details open>") == 2


@pytest.mark.django_db
def test_an_agreement_opens_folded_and_names_its_limits(secretary: User, client: Client) -> None:
    agreed = make.permission(make.site(by=secretary), max_heads=12)
    client.force_login(secretary)
    page = client.get(reverse("permissions:permission_edit", args=[agreed.pk]))
    assert fold(page.context["form"], "Who may come").filled == ["Most people at once"]
    assert fold(page.context["form"], "Money and finds").filled == []
    assert "<details open>" not in page.text
