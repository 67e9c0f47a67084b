"""Add photographs to a find, and say what one shows."""

from django import forms

from finds.models import FindPhoto
from web.forms import BaseForm, BaseModelForm
from web.photo_field import PhotosField


class PhotosForm(BaseForm):
    photos = PhotosField(label="Photographs")
    view = forms.ChoiceField(label="They show", choices=FindPhoto.View.choices)
    has_scale = forms.BooleanField(label="With a scale in the picture", required=False)
    caption = forms.CharField(label="Caption", max_length=160, required=False)


class PhotoShowsForm(BaseModelForm):
    class Meta:
        model = FindPhoto
        fields = ("view", "has_scale", "caption")
        labels = {"view": "It shows"}
