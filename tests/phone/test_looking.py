"""The look that is asked of every screen finds what it is for."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, Playwright

from tests.phone.looking import ONLY_CONTRAST, RULES, axe_findings, bare_keys
from tests.phone.phone import QUIET, program_of

AS_GREY_AS = '<!doctype html><html lang="en"><title>A</title><main><h1>A</h1><p style="color: {}">Words</p></main>'
NAMELESS = '<!doctype html><html lang="en"><title>A</title><main><h1>A</h1>{}</main>'


@pytest.fixture(scope="module")
def page(playwright: Playwright) -> Iterator[Page]:
    browser = playwright.chromium.launch(executable_path=program_of(is_whole=False), args=QUIET)
    yield browser.new_page()
    browser.close()


@pytest.mark.parametrize("rules", [RULES, ONLY_CONTRAST], ids=["all", "contrast"])
# 2.3, 4.5 and 5.7 to 1 on white; 7 to 1 is asked for.
@pytest.mark.parametrize("grey", ["#aaa", "#777", "#666"])
def test_words_that_are_hardly_or_badly_read_are_found(page: Page, rules: dict[str, object], grey: str) -> None:
    page.set_content(AS_GREY_AS.format(grey))

    [found] = axe_findings(page, rules=rules)

    assert found.startswith("color-contrast")


def test_every_place_that_is_wrong_is_told(page: Page) -> None:
    page.set_content(NAMELESS.format("<p><button></button></p>" * 3))

    found = [one for one in axe_findings(page) if one.startswith("button-name")]

    assert len(found) == 3


def test_black_on_white_is_fine(page: Page) -> None:
    page.set_content(AS_GREY_AS.format("#000"))

    assert axe_findings(page) == []


def test_a_key_in_place_of_its_sentence_is_found(page: Page) -> None:
    page.set_content(NAMELESS.format('<p>See sheet.csv, or office.back</p><input aria-label="board.search">'))

    found = bare_keys(page)

    assert [one.split()[2] for one in found] == ["office.back", "board.search"]
