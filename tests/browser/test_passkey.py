"""A passkey from set-up to signing in with it alone, on a phone's page, with Chromium's own virtual authenticator.

Source: WebDriver's virtual authenticators as the Chrome DevTools Protocol offers them (domain WebAuthn); the ceremonies
are those of Web Authentication Level 2, section 7, judged by the server's library.
"""

import pytest
from allauth.mfa.models import Authenticator
from playwright.sync_api import Page, expect

from people.models import AuditEntry
from people.rights import Role
from tests import make
from tests.browser.conftest import Opener, sign_in

ON_THE_DEVICE = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}


def with_authenticator(page: Page) -> None:
    devtools = page.context.new_cdp_session(page)
    devtools.send("WebAuthn.enable")
    devtools.send("WebAuthn.addVirtualAuthenticator", {"options": ON_THE_DEVICE})


def test_a_secretary_sets_up_a_passkey_and_signs_in_with_it_alone(
    page_of: Opener, settings: pytest.FixtureRequest
) -> None:
    settings.SECOND_FACTOR_REQUIRED = True
    make.club()
    secretary = make.person(Role.SECRETARY, name="Sal Marram")
    page = page_of(None)
    with_authenticator(page)
    page.goto("/club/sign-in/")
    page.get_by_label("E-mail").fill(secretary.email)
    page.get_by_label("Password").fill(make.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("How I sign in")  # nothing else is open yet

    page.get_by_role("link", name="Add a passkey").click()
    page.get_by_label("Name of this passkey").fill("Field phone")
    page.get_by_label("Sign in with it alone").check()
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Recovery codes")
    page.goto("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    page.goto("/club/me/security/passkeys/")
    expect(page.get_by_text("signs in alone")).to_be_visible()

    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="Use a passkey").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    assert Authenticator.objects.filter(user=secretary, type="webauthn").get().last_used_at is not None
    assert AuditEntry.objects.filter(verb="account.sign_in").first().changes == {"how": "passkey alone"}


def test_a_passkey_is_the_second_step_after_a_password_and_one_that_is_put_aside_is_said(
    page_of: Opener,
) -> None:
    make.club()
    member = make.person(name="Mo Samphire")
    page = page_of(None)
    with_authenticator(page)
    sign_in(page, member)
    page.goto("/club/me/security/passkeys/add/")
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Recovery codes")
    page.get_by_role("button", name="Sign out").click()

    page.get_by_label("E-mail").fill(member.email)
    page.get_by_label("Password").fill(make.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("One more step")
    page.evaluate(
        "() => { navigator.credentials.get = () => Promise.reject(new DOMException('', 'NotAllowedError')); }"
    )
    page.get_by_role("button", name="Use a passkey").click()
    expect(page.get_by_role("alert")).to_contain_text("No passkey was used")
    page.reload()
    page.get_by_role("button", name="Use a passkey").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")


def test_without_scripts_the_password_and_an_app_are_enough(page_of: Opener) -> None:
    make.club()
    member = make.person(name="Mo Samphire")
    page = page_of(None, java_script_enabled=False)
    sign_in(page, member)
    page.goto("/club/me/security/passkeys/add/")
    expect(page.get_by_text("runs no scripts")).to_be_visible()
    page.get_by_role("link", name="Set up an app that makes codes instead").click()
    expect(page.get_by_label("The code that the app shows now")).to_be_visible()
