"""The kinds of trouble that the API tells, each at an address of its own: the one table.

RFC 9457, 3.1.1: `type` names the kind, and leads to words about it. The addresses are part of the
contract: a kind may be added, none changes its meaning.
"""

from __future__ import annotations

from typing import Any, Final

from apiflask import APIBlueprint
from pydantic import BaseModel, RootModel

from server.service.troubles import Unknown

ROOT: Final = "/api/problems/"

# name → status, title, what to do about it
PROBLEMS: Final[dict[str, tuple[int, str, str]]] = {
    "unreadable-request": (
        400,
        "This request cannot be read",
        "Send JSON as the API's description says, no deeper than it asks.",
    ),
    "not-signed-in": (401, "Nobody is signed in", "Sign in, join the show, or send a token."),
    "not-allowed": (
        403,
        "Not allowed for this role",
        "Ask an owner, or use a token with the scope that is named.",
    ),
    "wrong-guess": (
        403,
        "This code, PIN or password is wrong",
        "Look at it again; after five wrong guesses pauses begin.",
    ),
    "not-found": (
        404,
        "There is no such thing here",
        "Look at the list again: it may be gone, or it belongs to a show of others.",
    ),
    "method-not-allowed": (405, "This cannot be done here", "The header Allow names what can."),
    "conflict": (
        409,
        "It does not fit what is there",
        "The detail says what stands in the way; change that first.",
    ),
    "changed-meanwhile": (
        412,
        "Somebody changed the same since you looked",
        "`conflicts` names each field with both values. Send what is chosen with the new ETag.",
    ),
    "too-large": (413, "More than is taken at once", "Send less; the detail names the limit."),
    "wrong-media-type": (415, "This kind of content is not taken", "The detail names what is."),
    "invalid-value": (
        422,
        "Something in it is not as expected",
        "`errors` names each field and what is expected there.",
    ),
    "version-needed": (
        428,
        "A change must name the version that it saw",
        "Read the document, and send the value of its header ETag as If-Match.",
    ),
    "too-many-requests": (
        429,
        "Too many wrong guesses, or too much at once",
        "Wait as long as the header Retry-After says.",
    ),
    "server-fault": (
        500,
        "Something went wrong on the server",
        "It is written down in the server's log. Send it again; if it stays, report it.",
    ),
    "busy": (
        503,
        "The server has no room just now",
        "Keep everything and send it again after the time in Retry-After.",
    ),
    "disk-full": (
        507,
        "The server's disk is full",
        "Nothing was stored. Keep everything, make room on the server and send it again.",
    ),
}
# Where a status has several kinds the first one above is what it means by itself.
BY_STATUS: Final[dict[int, str]] = {
    status: name for name, (status, _, _) in reversed(PROBLEMS.items())
}
bp: Final = APIBlueprint("problems", __name__, url_prefix="/api", tag="about")


def kind_of(status: int, name: str = "") -> tuple[str, str]:
    """Return type and title of a problem: of this name, or what its status means by itself.

    A status that no kind of ours has is told by its nearest: the hundred that it belongs to.
    """
    found = name or BY_STATUS.get(status) or ("server-fault" if status >= 500 else "")
    found = found or "unreadable-request"
    return ROOT + found, PROBLEMS[found][1]


class ProblemKind(BaseModel):
    """A kind of trouble, and what to do about it."""

    type: str
    status: int
    title: str
    help: str


class ProblemKinds(RootModel[list[ProblemKind]]):
    """Every kind of trouble."""


def _told(name: str) -> dict[str, Any]:
    status, title, text = PROBLEMS[name]
    return {"type": ROOT + name, "status": status, "title": title, "help": text}


@bp.get("/problems")
@bp.output(ProblemKinds)
@bp.doc(summary="Every kind of problem")
def problem_kinds() -> ProblemKinds:
    """Return every kind of trouble that the API tells."""
    return ProblemKinds([ProblemKind(**_told(name)) for name in PROBLEMS])


@bp.get("/problems/<name>")
@bp.output(ProblemKind)
@bp.doc(summary="What a kind of problem means", responses=[404])
def problem_kind(name: str) -> dict[str, Any]:
    """Return one kind of trouble; its address is the `type` of the problems of that kind."""
    if name not in PROBLEMS:
        raise Unknown("There is no such kind of problem.")
    return _told(name)
