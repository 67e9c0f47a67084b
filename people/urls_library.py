"""The library's pages for signing in and second factors, at our addresses; under the names by which it finds them.

Only what is used is routed: no sign-up, no addresses of its own, no passwords of its own.
"""

from allauth.account.views import reauthenticate
from allauth.mfa.base import views as base
from allauth.mfa.recovery_codes import views as codes
from allauth.mfa.totp import views as totp
from allauth.mfa.webauthn import views as webauthn
from django.urls import path

from people.views import auth

urlpatterns = [
    path("sign-in/", auth.sign_in, name="account_login"),
    path("sign-out/", auth.sign_out, name="account_logout"),
    path("sign-in/code/", base.authenticate, name="mfa_authenticate"),
    path("sign-in/passkey/", webauthn.login_webauthn, name="mfa_login_webauthn"),
    path("me/security/", base.index, name="mfa_index"),
    path("me/security/again/", reauthenticate, name="account_reauthenticate"),
    path("me/security/again/code/", base.reauthenticate, name="mfa_reauthenticate"),
    path("me/security/again/passkey/", webauthn.reauthenticate_webauthn, name="mfa_reauthenticate_webauthn"),
    path("me/security/app/add/", totp.activate_totp, name="mfa_activate_totp"),
    path("me/security/app/remove/", totp.deactivate_totp, name="mfa_deactivate_totp"),
    path("me/security/codes/", codes.view_recovery_codes, name="mfa_view_recovery_codes"),
    path("me/security/codes/new/", codes.generate_recovery_codes, name="mfa_generate_recovery_codes"),
    path("me/security/codes/file/", codes.download_recovery_codes, name="mfa_download_recovery_codes"),
    path("me/security/passkeys/", webauthn.list_webauthn, name="mfa_list_webauthn"),
    path("me/security/passkeys/add/", webauthn.add_webauthn, name="mfa_add_webauthn"),
    path("me/security/passkeys/<int:pk>/", webauthn.edit_webauthn, name="mfa_edit_webauthn"),
    path("me/security/passkeys/<int:pk>/remove/", webauthn.remove_webauthn, name="mfa_remove_webauthn"),
]
