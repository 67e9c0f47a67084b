"""Say that another find belongs with this one."""

from django import forms

from web.forms import OnceForm


class LinkForm(OnceForm):
    number = forms.CharField(label="Number of the other find", max_length=20)
    note = forms.CharField(
        label="How they belong together",
        max_length=160,
        help_text="Same hole, fits on the break, a pair of cuff links.",
    )
