"""Counts real taps on a page: every click that reaches the document, whatever listens to it."""

from playwright.sync_api import Page

START = """() => {
  window.__taps = [];
  document.addEventListener("click", (event) => {
    // A label passes its click on to its input; that is one tap of a finger, not two.
    const passed_on = event.target instanceof HTMLInputElement && event.detail === 0;
    if (event.isTrusted && !passed_on) window.__taps.push(event.target.textContent?.trim().slice(0, 40));
  }, { capture: true });
}"""


def start_counting(page: Page) -> None:
    page.evaluate(START)


def taps(page: Page) -> list[str]:
    """What was tapped since counting began, in order."""
    return list(page.evaluate("() => window.__taps"))
