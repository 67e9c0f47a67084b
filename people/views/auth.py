"""Sign in and out, and passwords: Django's own views with this site's forms and templates."""

from django.contrib.auth import views
from django.contrib.auth.decorators import login_not_required
from django.urls import reverse_lazy

from people.forms import ChoosePasswordForm, SignInForm

sign_in = login_not_required(
    views.LoginView.as_view(
        template_name="people/sign_in.html", authentication_form=SignInForm, redirect_authenticated_user=True
    )
)
sign_out = views.LogoutView.as_view()
password_change = views.PasswordChangeView.as_view(
    template_name="people/password_change.html", success_url=reverse_lazy("people:me")
)
password_reset = login_not_required(
    views.PasswordResetView.as_view(
        form_class=ChoosePasswordForm,
        template_name="people/password_reset.html",
        email_template_name="people/mail/password_reset.txt",
        subject_template_name="people/mail/password_reset_subject.txt",
        success_url=reverse_lazy("people:password_reset_done"),
    )
)
password_reset_done = login_not_required(
    views.PasswordResetDoneView.as_view(template_name="people/password_reset_done.html")
)
password_reset_confirm = login_not_required(
    views.PasswordResetConfirmView.as_view(
        template_name="people/password_reset_confirm.html", success_url=reverse_lazy("people:sign_in")
    )
)
