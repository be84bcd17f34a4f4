"""Where settings come from: defaults, one TOML file, ROWCALL_ variables, flags; later ones win."""

from __future__ import annotations

import difflib
import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from server import places
from server.settings import PREFIX, Settings, read_secret
from server.trouble import BadInput

DEFAULT: Final = "default"
FLAG: Final = "flag"
TRUE: Final = frozenset({"True", "true", "1", "yes"})
FALSE: Final = frozenset({"False", "false", "0", "no"})
FILE_VARIABLE: Final = PREFIX + "SETTINGS"


@dataclass(frozen=True, slots=True)
class Sourced:
    """The settings, and for each where its value comes from."""

    settings: Settings
    origins: Mapping[str, str]

    def lines(self) -> list[str]:
        """Return the settings as lines of TOML, each with where it comes from; no passwords."""
        shown = {one.name: getattr(self.settings, one.name) for one in fields(Settings)}
        shown["database"] = _without_password(self.settings.database)
        texts = {name: f"{name} = {_toml(value)}" for name, value in shown.items()}
        wide = max(map(len, texts.values()))
        return [f"{text:{wide}}  # {self.origins[name]}" for name, text in texts.items()]


def read_settings(
    variables: Mapping[str, str] | None = None, flags: Mapping[str, object] | None = None
) -> Sourced:
    """Read all sources; BadInput names the file, variable or flag that is wrong."""
    variables = os.environ if variables is None else variables
    given: dict[str, object] = {}
    origins = dict.fromkeys((one.name for one in fields(Settings)), DEFAULT)
    for source, values in (
        _of_file(variables.get(FILE_VARIABLE)),
        ("", _of_variables(variables)),
        (FLAG, dict(flags or {})),
    ):
        for name in values:
            origins[name] = source or PREFIX + name.upper()
        # One of the two says where the database is: the other of a weaker source is void.
        for name, other in (("database", "database_file"), ("database_file", "database")):
            if values.get(name) and not values.get(other):
                given.pop(other, None)
                origins[other] = origins[other] if other in values else DEFAULT
        given |= values
    if given.get("database_file"):
        if given.get("database"):
            expected = f"no {PREFIX}DATABASE beside it"
            raise BadInput(PREFIX + "DATABASE_FILE", expected, "both")
        given["database"] = read_secret(str(given["database_file"]))
    return Sourced(Settings(**given), origins)  # type: ignore[arg-type]


def file_of(named: str | None) -> Path | None:
    """Return the file of settings to read; None where there is none, or "" was named."""
    if named is None:
        usual = places.settings_file()
        return usual if usual.is_file() else None
    return Path(named) if named else None


def _of_file(named: str | None) -> tuple[str, dict[str, object]]:
    file = file_of(named)
    if file is None:
        return "", {}
    try:
        with file.open("rb") as raw:
            table = tomllib.load(raw)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(str(file), "settings as TOML", error) from None
    except UnicodeDecodeError as error:
        raise BadInput(str(file), "a text file in UTF-8", error.reason) from None
    return str(file), {_known(file, key): _checked(file, key, one) for key, one in table.items()}


def _known(file: Path, key: str) -> str:
    name = key.replace("-", "_")
    names = [one.name for one in fields(Settings)]
    if name not in names:
        close = difflib.get_close_matches(name, names, n=1)
        raise BadInput(f"{file}: {key}", f"a setting{f' ({close[0]}?)' if close else ''}", key)
    return name


def _checked(file: Path, key: str, value: object) -> object:
    kind = _kind(key.replace("-", "_"))
    wanted = {"int": int, "bool": bool}.get(kind, str)
    if not isinstance(value, wanted) or (kind == "int" and isinstance(value, bool)):
        words = {"int": "a whole number", "bool": "true or false"}.get(kind, "a text in quotes")
        raise BadInput(f"{file}: {key}", words, value)
    # A relative path is meant from where the file lies.
    return (file.parent / str(value)).resolve() if kind == "Path" else value


def _of_variables(variables: Mapping[str, str]) -> dict[str, object]:
    return {
        one.name: _read(PREFIX + one.name.upper(), _kind(one.name), variables)
        for one in fields(Settings)
        if PREFIX + one.name.upper() in variables
    }


def _kind(name: str) -> str:
    return next(str(one.type) for one in fields(Settings) if one.name == name)


def _read(name: str, kind: str, variables: Mapping[str, str]) -> object:
    text = variables[name]
    if kind == "Path":
        return Path(text)
    if kind == "bool":
        if text not in TRUE | FALSE:
            raise BadInput(name, "True or False", repr(text))
        return text in TRUE
    if kind == "int":
        try:
            return int(text)
        except ValueError:
            raise BadInput(name, "a whole number", repr(text)) from None
    return text


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int):
        return str(value)
    return '"' + str(value).replace("\\", "\\\\").replace('"', '\\"') + '"'


def _without_password(address: str) -> str:
    password = urlsplit(address).password if "@" in address else None
    return address.replace(f":{password}@", ":...@") if password else address
