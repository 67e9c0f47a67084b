"""The question that settles most of what the law asks: what was seen where the find lay."""

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.circumstances import CHOICES, NONE


class CircumstancesMixin(forms.Form):
    """`circumstances` holds the keys that were ticked; none and another at once is refused."""

    circumstances = forms.MultipleChoiceField(
        label=_lazy("Does any of these apply?"),
        choices=[(key, _lazy(words)) for key, words in CHOICES],
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text=_lazy("Tick what applies, or “None of these”. It settles most of what the law asks."),
    )

    def clean_circumstances(self) -> list[str]:
        ticked: list[str] = self.cleaned_data["circumstances"]
        if NONE in ticked and len(ticked) > 1:
            raise forms.ValidationError(
                _("“None of these” and another are both ticked; keep one or the other.")
            )
        return ticked
