"""Saving an issue, and the moment from which it must never be lost."""

from playwright.sync_api import Page


def wait_for_saved(page: Page) -> None:
    """The screen that says "Saved on this phone." of this very issue; the sync bar may say it of earlier ones."""
    page.get_by_role("heading", name="Issue saved").wait_for()
    page.get_by_text("Saved on this phone.").first.wait_for()


def save_issue(page: Page) -> None:
    """Pressed, and waited for the word that it is saved."""
    page.get_by_role("button", name="Save issue").click()
    wait_for_saved(page)
