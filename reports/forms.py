"""Forms of the landholder's page and the club's answers."""

from django import forms

from web.forms import BaseForm, OnceForm


class ConfirmForm(OnceForm):
    received = forms.ChoiceField(
        label="Were the objects listed as returned received?",
        choices=[("confirmed", "Yes, all of them"), ("disputed", "No, something is missing or not right")],
        widget=forms.RadioSelect,
    )
    words = forms.CharField(
        label="What is missing or not right",
        widget=forms.Textarea(attrs={"rows": 3}),
        required=False,
        max_length=2000,
    )
    signed_name = forms.CharField(label="Your name, as your signature", max_length=160)

    def clean_words(self) -> str:
        words: str = self.cleaned_data["words"]
        if self.cleaned_data.get("received") == "disputed" and not words.strip():
            raise forms.ValidationError(
                "Please say what is missing or not right, so that we can put it right."
            )
        return words


class ConcernForm(OnceForm):
    words = forms.CharField(label="What is wrong?", widget=forms.Textarea(attrs={"rows": 4}), max_length=2000)
    signed_name = forms.CharField(label="Your name", max_length=160, required=False)


class PauseForm(OnceForm):
    words = forms.CharField(label="Why, and until when if you know", max_length=280)


class SettleForm(BaseForm):
    words = forms.CharField(label="What was done", widget=forms.Textarea(attrs={"rows": 3}))
