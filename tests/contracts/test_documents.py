"""What the documents say of the code is so: every path named in them is there."""

import re
from pathlib import Path

import pytest

# In backticks, with a slash: a path. Those of a machine begin with one, and are not ours to keep.
NAMED = re.compile(r"`([\w.][\w.-]*(?:/[\w.-]+)+)(?: [^`]*)?`|\]\(([\w./-]+)\)")
# Made by the commands, and not there in a fresh clone.
MADE = (".venv", "pwa/node_modules", "pwa/dist", ".flarenut")


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_path_named_in_a_document_exists(document: str, project: Path) -> None:
    text = (project / document).read_text()

    named = {first or second for first, second in NAMED.findall(text)}
    ours = {name for name in named if not name.startswith(MADE)}

    assert len(ours) >= 5
    assert sorted(name for name in ours if not (project / name).exists()) == []


def test_the_readme_gives_exactly_the_two_commands(project: Path) -> None:
    section = (project / "README.md").read_text().partition("## Two commands")[2].partition("\n## ")[0]

    [block] = re.findall(r"```\n(.*?)```", section, re.DOTALL)

    assert block.split() == ["deploy/demo", "deploy/test"]
    assert all((project / command).stat().st_mode & 0o111 for command in block.split())
