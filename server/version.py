"""The version of Rowcall, the only place where it is written."""

from typing import Final

VERSION: Final = "1.1.0"
