"""What is asked of every screen of every story: no finding by axe, targets for gloves, words, no sideways scrolling."""

import json
from functools import cache
from pathlib import Path
from typing import Any
from weakref import WeakSet

from playwright.sync_api import BrowserContext, Page

PWA = Path(__file__).resolve().parents[2] / "pwa"
AXE = PWA / "node_modules" / "axe-core" / "axe.min.js"
SENTENCES = PWA / "src" / "text" / "en"
# Of what is found wrong every place is told; of what is right one place is enough, and a third of the work is saved.
FINDINGS: dict[str, Any] = {"resultTypes": ["violations"]}
# Every success criterion up to AAA that axe knows, with the two rules that are off by default.
RULES: dict[str, Any] = {
    **FINDINGS,
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    },
    "rules": {"target-size": {"enabled": True}, "color-contrast-enhanced": {"enabled": True}},
}
# The second rule leaves to the first what does not even reach the first one's ratio: either alone has a gap.
ONLY_CONTRAST: dict[str, Any] = {
    **FINDINGS,
    "runOnly": {"type": "rule", "values": ["color-contrast", "color-contrast-enhanced"]},
}
RUN_AXE = """async (options) => {
  const { violations, passes } = await axe.run(document, options);
  return { violations, passes: passes.length };
}"""
NARROWEST_PX = 320  # WCAG 2.2, success criterion 1.4.10: 320 CSS pixels without scrolling in two directions (S)
GLOVE_PX = 56  # design: targets on the phone
MOUSE_PX = 44  # design: targets at desktop width

FIND_SMALL = """(least) => {
  const small = [];
  const targets = "a[href], button, input, select, textarea, summary, [role=button], [role=tab], [role=switch]";
  for (const target of document.querySelectorAll(targets)) {
    const reach = target.closest("label") ?? target;
    const box = reach.getBoundingClientRect();
    const own = target.getBoundingClientRect();
    const style = getComputedStyle(target);
    const hidden = box.width === 0 || style.visibility === "hidden" || target.closest("[hidden], [inert]");
    const only_for_readers = own.width <= 1 && own.height <= 1 && reach === target;
    const in_a_sentence = target.tagName === "A" && style.display === "inline";
    if (hidden || only_for_readers || in_a_sentence || target.disabled) continue;
    if (box.height < least - 0.5 || box.width < 44 - 0.5) {
      const words = (target.getAttribute("aria-label") ?? target.textContent ?? "").trim().slice(0, 40);
      small.push(`${target.tagName.toLowerCase()} "${words}" ${Math.round(box.width)}x${Math.round(box.height)}`);
    }
  }
  return small;
}"""

WHOLE_HEIGHT = """() => {
  const parts = [document.documentElement, ...document.querySelectorAll("main, dialog, dialog *")];
  return window.innerHeight + Math.max(...parts.map((part) => part.scrollHeight));
}"""

# A phone widens its window to what is too wide, so the width asked for is what counts.
FIND_WIDE = """(room) => {
  const scrollers = [document.documentElement, ...document.querySelectorAll("main, dialog")];
  const over = Math.max(...scrollers.map((one) => one.scrollWidth)) - room;
  if (over <= 0) return [];
  const wide = [];
  for (const element of document.body.querySelectorAll("*")) {
    if (element.getBoundingClientRect().right > room + 1) wide.push(element.outerHTML.slice(0, 120));
  }
  return [`${over} px too wide for ${room}`, ...wide.slice(0, 4)];
}"""

# A sentence that the screen did not bring shows as its bare key.
FIND_KEYS = """(keys) => {
  const known = new Set(keys);
  const said = [];
  const texts = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) said.push(texts.currentNode.nodeValue);
  for (const element of document.querySelectorAll("[aria-label], [placeholder], [title], [alt]")) {
    for (const name of ["aria-label", "placeholder", "title", "alt"]) said.push(element.getAttribute(name) ?? "");
  }
  return said.flatMap((words) => words.match(/[a-z_\\d]+(\\.[\\w[\\]]+)+/g) ?? [])
    .filter((word) => known.has(word)).map((word) => `the key ${word} instead of its sentence`);
}"""

_looked_at: WeakSet[BrowserContext] = WeakSet()


def was_looked_at(context: BrowserContext) -> bool:
    """Was any of its screens asked for everything that is asked of a screen?"""
    return context in _looked_at


def look_at(page: Page, *, least_px: int = GLOVE_PX) -> None:
    """Fails with what is wrong on the screen that is open."""
    before = page.viewport_size
    assert before is not None
    # Seen whole: what a bar covers now is a scroll away and must not count as too small.
    page.set_viewport_size({"width": before["width"], "height": _whole_height(page)})
    wait_until_still(page)
    found = [*axe_findings(page), *bare_keys(page), *page.evaluate(FIND_SMALL, least_px), *_too_wide(page)]
    page.set_viewport_size(before)
    assert not found, f"{page.url}\n" + "\n".join(found)
    _looked_at.add(page.context)


def look_at_large_text(page: Page) -> None:
    """320 pixels wide with text at 200 % (WCAG 2.2, success criterion 1.4.4, S): no sideways scrolling."""
    before = page.viewport_size
    assert before is not None
    page.evaluate("() => { document.documentElement.style.fontSize = '200%' }")
    wait_until_still(page)
    found = _too_wide(page)
    page.set_viewport_size(before)
    page.evaluate("() => { document.documentElement.style.fontSize = '' }")
    assert not found, f"{page.url} with text at 200 %\n" + "\n".join(found)


def _whole_height(page: Page) -> int:
    return int(page.evaluate(WHOLE_HEIGHT))


def wait_until_still(page: Page) -> None:
    """A colour on its way from one to another is neither of them."""
    page.wait_for_function("() => document.getAnimations().every((one) => one.playState !== 'running')")


def look_at_contrast(page: Page, *, mode: str) -> None:
    """The same screen in another mode: only its colours are different."""
    page.evaluate("(mode) => { document.documentElement.dataset.mode = mode }", mode)
    wait_until_still(page)
    found = axe_findings(page, rules=ONLY_CONTRAST)
    assert not found, f"{page.url} in {mode} mode\n" + "\n".join(found)


@cache
def _keys() -> list[str]:
    files = sorted(SENTENCES.rglob("*.json"))
    assert files
    return [key for file in files for key in json.loads(file.read_text())]


def bare_keys(page: Page) -> list[str]:
    """Of sentences that nobody brought to this screen."""
    found: list[str] = page.evaluate(FIND_KEYS, _keys())
    return found


def axe_findings(page: Page, *, rules: dict[str, Any] = RULES) -> list[str]:
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE.read_text())
    result: dict[str, Any] = page.evaluate(RUN_AXE, rules)
    assert result["passes"], "axe looked at nothing."
    return [
        f"{finding['id']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for finding in result["violations"]
        for node in finding["nodes"]
    ]


def _too_wide(page: Page) -> list[str]:
    """Leaves it as narrow as it was made: every size that a page is given is laid out and drawn."""
    assert page.viewport_size is not None
    page.set_viewport_size({"width": NARROWEST_PX, "height": page.viewport_size["height"]})
    found: list[str] = page.evaluate(FIND_WIDE, NARROWEST_PX)
    return found
