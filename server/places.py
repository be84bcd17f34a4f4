"""Where this copy of Rowcall keeps what: a checkout inside itself, an installed copy by platform.

An installed copy (`pip install`) follows the conventions of its system, by platformdirs: XDG base
directories on Linux, Application Support on macOS, AppData on Windows.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]
# The wheel holds the built client, never its sources.
INSTALLED: Final = not (ROOT / "pwa" / "package.json").is_file()
PROGRAM: Final = "rowcall" if INSTALLED else "python3 server"
NAME: Final = "rowcall"
MARK: Final = ("objects", "refs")


def data_folder() -> Path:
    """Return the folder of the data where none is named."""
    if not INSTALLED:
        return ROOT / "server" / "instance"
    from platformdirs import user_data_path

    return user_data_path(NAME, appauthor=False)


def settings_file() -> Path:
    """Return the file of settings where none is named; it need not exist."""
    if not INSTALLED:
        return data_folder() / "settings.toml"
    from platformdirs import user_config_path

    return user_config_path(NAME, appauthor=False) / "settings.toml"


def make_private(data: Path, database: str = "rowcall.sqlite") -> None:
    """Make the folder of the data, for this user alone: 0700, and files in it 0600.

    A folder that holds other things keeps its mode; the files of the database are private anyway.
    """
    known = not data.is_dir() or (data / database).exists() or not any(data.iterdir())
    data.mkdir(mode=0o700, parents=True, exist_ok=True)
    if known:
        data.chmod(0o700)
    for file in data.glob(f"{database}*"):
        file.chmod(0o600)
    if not INSTALLED and data == data_folder():
        _out_of_cleaning(data)


def _out_of_cleaning(data: Path) -> None:
    """Mark the folder as a repository of its own: `git clean -fdx` of the checkout leaves it."""
    mark = data / ".git"
    for name in MARK:
        (mark / name).mkdir(parents=True, exist_ok=True)
    (mark / "HEAD").write_text("ref: refs/heads/data\n", encoding="utf-8")
