"""Add photographs to a find."""

from django import forms

from finds.models import FindPhoto
from web.forms import BaseForm
from web.photo_field import PhotosField


class PhotosForm(BaseForm):
    photos = PhotosField(label="Photographs")
    view = forms.ChoiceField(label="They show", choices=FindPhoto.View.choices)
    caption = forms.CharField(label="Caption", max_length=160, required=False)
