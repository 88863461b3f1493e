"""Coming in: signing in, and waiting until a phone can do without the network."""

from demo_seed.people import DemoPerson
from playwright.sync_api import expect

from tests.phone.phone import PATIENCE_MS, Phone


def sign_in(phone: Phone, *, person: DemoPerson) -> None:
    phone.go("/sign-in")
    phone.page.get_by_label("Email").fill(person.email)
    phone.page.get_by_label("Password", exact=True).fill(person.password)
    phone.page.get_by_role("button", name="Sign in").click()
    expect(phone.page).not_to_have_url(f"{phone.origin}/sign-in", timeout=PATIENCE_MS)


def wait_until_offline_ready(phone: Phone) -> None:
    """The service worker has everything of this build and answers for the page."""
    phone.page.wait_for_function(
        """async () => {
          const registration = await navigator.serviceWorker.ready;
          return registration.active?.state === "activated" && navigator.serviceWorker.controller !== null;
        }"""
    )


def install_the_app(phone: Phone) -> None:
    """Opens it for the first time, and closes the device when it can open it without the network."""
    phone.go("/sign-in")
    wait_until_offline_ready(phone)
    phone.close()
    assert phone.complaints == []


def stay_signed_in(phone: Phone, *, person: DemoPerson) -> None:
    """Signs in, and closes the device with everything on its disk that it needs the next time."""
    sign_in(phone, person=person)
    expect(phone.page.get_by_text("Tern Lane Clinic").first).to_be_visible()
    wait_until_offline_ready(phone)
    phone.close()
    phone.wait_until_the_sign_in_is_on_disk()
    assert phone.complaints == []
