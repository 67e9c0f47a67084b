"""Forms for signing in and for second factors: the library's, with this site's words and without its own look."""

from typing import Any

from allauth.account import forms as account
from allauth.mfa.base.forms import AuthenticateForm, ReauthenticateForm
from allauth.mfa.totp.forms import ActivateTOTPForm
from allauth.mfa.webauthn.forms import AddWebAuthnForm, EditWebAuthnForm
from django import forms
from django.contrib.auth.forms import PasswordChangeForm, SetPasswordForm
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.rights import ROLE_NAMES, Role
from web.forms import BaseForm

ONE_TIME = {
    "autocomplete": "one-time-code",
    "inputmode": "numeric",
    "autocapitalize": "off",
    "spellcheck": "false",
}


NOT_YET = _lazy("That did not work yet:")  # over what is wrong in a form that saves nothing


def _plain(form: forms.Form, labels: dict[str, str]) -> None:
    """Labels above the fields and nothing inside them: a placeholder is gone when it is needed.

    No field takes the focus by itself either: who listens to the page, or comes by keys, begins at its top.
    """
    form.label_suffix = ""
    for name, field in form.fields.items():
        field.widget.attrs.pop("placeholder", None)
        field.widget.attrs.pop("autofocus", None)
        field.label = labels.get(name, field.label)
        field.help_text = "" if name == "password" else field.help_text


class SignInForm(account.LoginForm):  # type: ignore[misc]
    refused = NOT_YET

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _plain(self, {"login": _("E-mail address"), "password": _("Password")})
        self.fields["login"].widget.attrs |= {"autocomplete": "username"}


class AgainForm(account.ReauthenticateForm):  # type: ignore[misc]
    refused = NOT_YET

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _plain(self, {"password": _("Your password")})


class CodeForm(AuthenticateForm):  # type: ignore[misc]
    refused = NOT_YET

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _plain(self, {"code": _("Code of the app, or a recovery code")})
        self.fields["code"].widget.attrs |= ONE_TIME


class CodeAgainForm(ReauthenticateForm):  # type: ignore[misc]
    refused = NOT_YET

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _plain(self, {"code": _("Code of the app, or a recovery code")})
        self.fields["code"].widget.attrs |= ONE_TIME


class FirstCodeForm(ActivateTOTPForm):  # type: ignore[misc]
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _plain(self, {"code": _("The code that the app shows now")})
        self.fields["code"].widget.attrs |= ONE_TIME


class NewPasskeyForm(AddWebAuthnForm):  # type: ignore[misc]
    """A passkey signs in alone where the device checks who holds it (by finger, face or number)."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _plain(
            self,
            {
                "name": _("Name of this passkey"),
                "passwordless": _("Sign in with it alone, without a password"),
            },
        )
        self.fields["name"].help_text = _("To know it again, for example “my phone”.")
        self.fields["name"].max_length = 60
        self.fields["passwordless"].help_text = _(
            "The device then asks for your finger, your face or its own number."
        )


class PasskeyNameForm(EditWebAuthnForm):  # type: ignore[misc]
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _plain(self, {"name": _("Name of this passkey")})


class ForgottenForm(BaseForm):
    refused = NOT_YET
    email = forms.EmailField(
        label=_lazy("E-mail address"),
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )


class JudgedWhereTyped(SetPasswordForm):  # type: ignore[type-arg]
    """What is wrong with a password stands at the password, not at the box that repeats it."""

    def validate_password_for_user(self, user: Any, *_where: str) -> None:
        super().validate_password_for_user(user, "new_password1")


class AcceptForm(JudgedWhereTyped):
    """An invited person's name, as they write it, and a password that Django's validators let pass."""

    name = forms.CharField(
        label=_lazy("Your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    field_order = ("name", "new_password1", "new_password2")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        self.fields["new_password1"].label = _("A password")
        self.fields["new_password2"].label = _("The same password again")


class OldAndNewForm(JudgedWhereTyped, PasswordChangeForm):
    error_messages = {
        **PasswordChangeForm.error_messages,
        "password_incorrect": _lazy("That is not your password of now. Capital letters count."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].widget.attrs.pop("autofocus", None)  # as in _plain()


ROLES = [(role.value, ROLE_NAMES[role]) for role in Role if role is not Role.MEMBER]


class RolesField(forms.MultipleChoiceField):
    """Any of the roles beyond member, as ticks."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", _lazy("Roles"))
        super().__init__(choices=ROLES, required=False, widget=forms.CheckboxSelectMultiple, **kwargs)

    def clean(self, value: Any) -> list[Role]:
        return [Role(each) for each in super().clean(value)]
