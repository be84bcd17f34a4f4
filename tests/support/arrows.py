"""Which way imports may point: along the evening inside the core, inward between the rings."""

from __future__ import annotations

from typing import Final

# Inside the core a module imports only what stands before it here; a folder has one place.
EVENING: Final = (
    "base",
    "shop",
    "weight",
    "securing",
    "handling",
    "road",
    "judge",
    "proof",
    "planner",
    "advisor",
    "editing",
    "crew",
    "night",
)

# ring → the rings it may know. What is not named here may not be imported.
CORE: Final = frozenset({"server.core", "server.trouble"})
RINGS: Final[dict[str, frozenset[str]]] = {
    "server.trouble": frozenset(),
    "server.version": frozenset(),
    "server.places": frozenset(),  # of data, settings and files
    "server.listening": frozenset(),  # asked before set-up
    "server.core": frozenset({"server.trouble"}),
    "server.files": CORE,
    "server.typeface": frozenset(),  # the project's face and its measures
    "server.words": frozenset(),  # what papers say, a file a language
    "server.drawing": CORE
    | {"server.typeface", "server.words"},  # a plan or a record as a picture: SVG and PDF
    "server.checks": CORE | {"server.files"},
    "server.service": CORE,
    "server.settings": frozenset({"server.trouble", "server.places", "server.settings_sources"}),
    "server.settings_sources": frozenset({"server.trouble", "server.places", "server.settings"}),
    "server.planning": frozenset({"server.settings"}),  # planning in a process of its own
    "server.store": CORE | {"server.service", "server.settings", "server.places"},
    "server.labels": CORE | {"server.service", "server.typeface"},
    "server.posting": frozenset(),  # web hooks on their way out
    "server.photos": frozenset({"server.labels", "server.service"}),  # a port on the readers
    "server.paper": CORE | {"server.drawing"},  # a port on the drawings
    "server.printing": CORE | {"server.labels", "server.service"},  # a port on the sheets
    "server.exporting": CORE | {"server.files", "server.service"},  # everything as plain files
    "server.api": CORE | {"server.files", "server.service", "server.exporting"},
    # create_app: the one place where rings meet, and what has a terminal for its screen.
    "server": CORE
    | {"server.api", "server.files", "server.labels", "server.service"}
    | {"server.paper", "server.photos", "server.planning", "server.printing"}
    | {"server.settings", "server.store", "server.version"},
    "server.commands": CORE
    | {"server", "server.files", "server.labels", "server.service"}
    | {"server.checks", "server.drawing", "server.listening", "server.places"}
    | {"server.settings", "server.settings_sources", "server.version"}
    | {"server.exporting", "server.posting"},
    "server.cli": frozenset(
        {"server.trouble", "server.commands", "server.places", "server.version"}
    ),
    "server.bootstrap": frozenset(),
    "server.__main__": frozenset({"server.bootstrap", "server.listening", "server.version"}),
}
