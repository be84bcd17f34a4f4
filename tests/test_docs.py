"""What the pages name exists, and what exists is named: commands, folders, files, pictures."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from server.cli import COMMANDS
from tests.support import notices
from tests.support.arrows import RINGS
from tests.support.checkout import files

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PAGES = {
    str(file.relative_to(ROOT)): file.read_text(encoding="utf-8")
    for file in files()
    if file.suffix == ".md"
}
ENTRANCES = ("README.md", "DEVELOPERS.md")
# Bytes that a page may have: the map is read in one sitting, what stands beside code is shorter.
MOST = {"DEVELOPERS.md": 12_000, "server/SECURITY.md": 8_000, "server/OPERATING.md": 8_000}
BESIDE_CODE = 6_000


def _code(text: str) -> list[str]:
    blocks = re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines()]
    return [*lines, *re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.DOTALL))]


@pytest.mark.parametrize("page", PAGES)
def test_every_command_that_a_page_names_exists(page: str) -> None:
    named = [
        words[2]
        for code in _code(PAGES[page])
        if (words := code.split())[:2] == ["python3", "server"]
        and len(words) > 2
        and re.fullmatch(r"[a-z]+", words[2])
    ]
    assert set(named) <= set(COMMANDS)


def test_every_command_is_named_for_contributors() -> None:
    words = set(re.findall(r"[a-z]+", " ".join(_code(DEVELOPERS))))
    assert set(COMMANDS) <= words


@pytest.mark.parametrize("page", PAGES)
def test_every_file_and_folder_that_a_page_names_exists(page: str) -> None:
    tops = r"(?:server|pwa|tests|fixtures)/[\w./@-]*"
    named = {one.rstrip(".") for code in _code(PAGES[page]) for one in re.findall(tops, code)}
    missing = [name for name in sorted(named) if not (ROOT / name).exists()]
    links = re.findall(r"\]\(((?!http)[^)#]+)\)", PAGES[page])
    missing += [name for name in links if not (ROOT / page).parent.joinpath(name).exists()]
    made_by_running = {"server/instance"}
    assert set(missing) <= made_by_running


def test_the_map_shows_every_ring_that_has_a_folder() -> None:
    folders = {name.replace(".", "/") for name in RINGS if (ROOT / name.replace(".", "/")).is_dir()}
    lost = [folder for folder in sorted(folders - {"server"}) if f"`{folder}/`" not in DEVELOPERS]
    assert not lost


@pytest.mark.parametrize("page", sorted(set(PAGES) - {"README.md"}))
def test_no_page_is_longer_than_it_may_be(page: str) -> None:
    assert len(PAGES[page].encode()) <= MOST.get(page, BESIDE_CODE)


@pytest.mark.parametrize("page", ENTRANCES)
def test_both_commands_of_the_set_up_are_named(page: str) -> None:
    assert "python3 server" in PAGES[page] and "python3 tests" in PAGES[page]


def test_the_readme_opens_with_the_job_then_the_commands_then_an_evening() -> None:
    job, commands, evening = (
        README.index("live-production company"),
        README.index("python3 server"),
        README.index("## One evening"),
    )
    assert job < commands < evening


def test_every_picture_of_the_readme_is_kept_and_small() -> None:
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert pictures
    assert all((ROOT / picture).stat().st_size < 300_000 for picture in pictures)


def test_the_top_level_holds_what_was_agreed_and_nothing_else() -> None:
    tops = {file.relative_to(ROOT).parts[0] for file in files()}
    visible = {top for top in tops if not top.startswith(".")}
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "server", "pwa", "tests", "fixtures"}
    assert visible == agreed


def test_the_notice_lists_every_library_that_we_run_with() -> None:
    listed = set(re.findall(r"(?m)^\| (\S+) \|", PAGES["server/NOTICE.md"]))
    needed = {*notices.server_packages(), *notices.client_packages()}
    assert needed - listed == set(), "run python -m tests.support.notices"
