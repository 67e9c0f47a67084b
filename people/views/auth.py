"""Sign in and out, and passwords: the library's and Django's views with this site's forms, limits and records."""

from typing import Any

from allauth.account.views import LoginView
from django.contrib import messages
from django.contrib.auth import views
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from people import actions, limits
from people.account_forms import ForgottenForm, OldAndNewForm, SignInForm
from people.http import MemberRequest
from people.set_up import is_fresh
from people.site import site_of
from people.views.limits import too_many
from people.views.session_rules import keep_this_one


class SignInView(LoginView):  # type: ignore[misc]
    template_name = "people/sign_in.html"
    form_class = SignInForm

    def get(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """Every page leads a stranger here, and from here, while nobody has an account, to the club's beginning."""
        if is_fresh():
            return redirect("set_up_door")
        response: HttpResponse = super().get(request, *args, **kwargs)
        return response

    def form_invalid(self, form: SignInForm) -> HttpResponse:
        response: HttpResponse = super().form_invalid(form)
        if form.has_error("__all__", "too_many_login_attempts"):
            response.status_code = 429
        return response


sign_in = SignInView.as_view()
# Also for who is half-way through: it takes the half-made sign-in away.
sign_out = login_not_required(views.LogoutView.as_view())


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def password_change(request: MemberRequest) -> HttpResponse:
    if request.method == "POST" and (wait := limits.consume(request, "old_password")):
        return too_many(request, wait)
    form = OldAndNewForm(request.user, request.POST or None)
    if request.method == "POST" and form.is_valid():
        password = form.cleaned_data["new_password1"]
        person = actions.choose_password(request.user.pk, password, by=request.user, via="", at=now())
        keep_this_one(request, person.pk)
        messages.success(request, _("Your password is changed, and you are signed out everywhere else."))
        return redirect("people:me")
    return render(request, "people/password_change.html", {"form": form})


@login_not_required
@require_http_methods(["GET", "POST"])
def password_reset(request: HttpRequest) -> HttpResponse:
    """Ask for a letter. What it answers, and how long that takes, says nothing about who has an account."""
    form = ForgottenForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        email = form.cleaned_data["email"].lower()
        if wait := limits.consume(request, "forgotten", key=email):
            return too_many(request, wait)
        actions.send_way_in(email, site=site_of(request), via="sign-in", at=now())
        return redirect("people:password_reset_done")
    return render(request, "people/password_reset.html", {"form": form})


password_reset_done = login_not_required(
    views.PasswordResetDoneView.as_view(template_name="people/password_reset_done.html")
)


class ChooseView(views.PasswordResetConfirmView):
    template_name = "people/password_reset_confirm.html"
    success_url = reverse_lazy("people:sign_in")

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if wait := limits.consume(request, "accept"):
            return too_many(request, wait)
        return super().post(request, *args, **kwargs)

    def form_valid(self, form: Any) -> HttpResponse:
        """The address is shut by this, as its token was made over the old password."""
        person: Any = self.user  # an account, or the form would not have been shown
        password = form.cleaned_data["new_password1"]
        actions.choose_password(person.pk, password, by=None, via="letter", at=now())
        messages.success(self.request, _("Your password is changed. Sign in with it."))
        return redirect(self.get_success_url())


password_reset_confirm = login_not_required(ChooseView.as_view())
