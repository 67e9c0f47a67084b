"""Add photographs to a find, and say what one shows."""

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from finds.models import FindPhoto
from web.forms import BaseForm, BaseModelForm
from web.photo_field import PhotosField


class PhotosForm(BaseForm):
    photos = PhotosField(label=_lazy("Photographs"))
    view = forms.ChoiceField(label=_lazy("They show"), choices=FindPhoto.View.choices)
    has_scale = forms.BooleanField(label=_lazy("With a scale in the picture"), required=False)
    caption = forms.CharField(label=_lazy("Caption"), max_length=160, required=False)


class PhotoShowsForm(BaseModelForm):
    class Meta:
        model = FindPhoto
        fields = ("view", "has_scale", "caption")
        labels = {"view": _lazy("It shows")}
