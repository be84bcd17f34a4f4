"""What the store keeps beside core types: who is in, what a show is, what was planned."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Final, Literal, get_args

from server.core.base.units import Units
from server.core.shop.case import Case, Near, Priority
from server.core.shop.columns import Column
from server.core.shop.details import Details
from server.core.shop.plan import Plan
from server.core.shop.show import Rules, Show
from server.core.shop.tags import LONGEST_TAG
from server.core.shop.vehicle import Vehicle

Role = Literal["loader", "chief", "owner"]
CaseState = Literal["good", "damaged", "repair", "retired"]
JobState = Literal["waiting", "working", "done", "failed"]
RANK: Final[dict[str, int]] = {"loader": 1, "chief": 2, "owner": 3}


@dataclass(frozen=True, slots=True)
class Session:
    """Someone who is in; `show` None: the owner, who is in for every show.

    `owner` is the account of an owner, on a show as well; empty for the crew. `closed_at`: when
    the show was closed.
    """

    id: str
    role: Role
    name: str
    show: str | None
    device: str
    created_at: int
    used_at: int
    ends_at: int
    owner: str = ""
    closed_at: int | None = None


@dataclass(frozen=True, slots=True)
class Device:
    """One phone on one show; `key` signs the facts that another phone may carry for it.

    `facts` and `bytes`: how much of it is stored.
    """

    show: str
    id: str
    name: str
    role: Role
    key: str
    joined_at: int
    unsent: int = 0
    last_n: int = 0
    heard_at: int = 0
    out_at: int | None = None
    facts: int = 0
    bytes: int = 0


@dataclass(frozen=True, slots=True)
class Owner:
    """An owner's account; the password is an argon2id hash."""

    id: str
    name: str
    password: str


@dataclass(frozen=True, slots=True)
class Passkey:
    """A passkey of an owner; `id` in base64url, `uses` as the authenticator counts (or stays 0)."""

    id: str
    owner: str
    name: str
    public_key: bytes
    uses: int
    created_at: int
    used_at: int | None = None


@dataclass(frozen=True, slots=True)
class ShopSettings:
    """How the shop counts, numbers its cases and checks its vehicles; lists as in the bundle.

    `numbering` empty: codes with check character; else the owner's own pattern. `homes`: places in
    the order in which they are walked. `demo`: numbers of the cases and vehicles that the demo
    brought, until it is removed.
    """

    name: str = ""
    units: Units = field(default_factory=Units)
    numbering: str = ""
    checks: tuple[dict[str, Any], ...] = ()
    walk: tuple[dict[str, Any], ...] = ()
    kits: tuple[dict[str, Any], ...] = ()
    homes: tuple[str, ...] = ()
    demo: tuple[str, ...] = ()
    language: str = "en"  # of papers


@dataclass(frozen=True, slots=True)
class Content:
    """What lies in a case, and how many of it."""

    what: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class CaseNotes:
    """What only the office asks of a case; days as 2027-05-14, empty where not known."""

    weighed_on: Annotated[str, Column("Weighed on", "day", many=True)] = ""
    return_on: Annotated[str, Column("Hired in: back by", "day", many=True)] = ""
    contents: Annotated[tuple[Content, ...], Column("Contents", "contents", longest=900)] = ()
    note: Annotated[str, Column("Note", "text", longest=400)] = ""
    tags: Annotated[
        tuple[str, ...],
        Column(
            "Further tags",
            "tags",
            longest=LONGEST_TAG,
            hint="Other stickers on it: an older number, a serial number, any bar code.",
            other_names=("tag", "alias", "aliases", "serial", "serial number"),
        ),
    ] = ()


@dataclass(frozen=True, slots=True)
class FleetCase:
    """A case with what the planner need not know: whose it is and whether it may travel."""

    case: Case
    owner: Annotated[
        str, Column("Owner", "text", hint="Empty: your own. Else whose it is.", many=True)
    ] = ""
    state: Annotated[
        CaseState, Column("State", "choice", choices=get_args(CaseState), many=True)
    ] = "good"
    notes: CaseNotes = CaseNotes()


@dataclass(frozen=True, slots=True)
class FleetVehicle:
    """A vehicle with the mark (0 to 7) by which screens tell it apart.

    `aside`: given back or laid up; it is offered for no show any more (service/aside).
    """

    vehicle: Vehicle
    mark: int = 0
    aside: bool = False


@dataclass(frozen=True, slots=True)
class Called:
    """A case called for a show, and the wishes for it there."""

    code: str
    drop: int = 1
    vehicle: str | None = None
    near: Near | None = None
    together: str | None = None
    priority: Priority = "must"


@dataclass(frozen=True, slots=True)
class ShowRecord:
    """A show as the office keeps it; `pin` is an argon2id hash."""

    id: str
    name: str
    date: str
    rules: Rules
    units: Units
    created_at: int
    cursor: int = 0
    issued: int = 0
    closed_at: int | None = None
    join_code: str | None = None
    join_ends_at: int = 0
    pin: str | None = None
    details: Details = field(default_factory=Details)


@dataclass(frozen=True, slots=True)
class PlanRecord:
    """One revision: the show as it was planned, the plan, the judge's faults, the sheets."""

    show_id: str
    revision: int
    show: Show
    plan: Plan
    faults: tuple[str, ...]
    made_at: int
    sheets: list[dict[str, Any]] | None = None
    issued_at: int | None = None


@dataclass(frozen=True, slots=True)
class NewEvent:
    """A checked fact on its way into the log; `document` is the JSON that phones get back.

    `received_at`: when it was first stored, where that was elsewhere; None: now.
    """

    id: str
    device: str
    n: int
    kind: str
    code: str | None
    hlc: str
    document: str
    received_at: int | None = None


@dataclass(frozen=True, slots=True)
class StoredEvent:
    """A fact of the log, its running number on its show, and when it was stored."""

    seq: int
    id: str
    document: str
    at: int = 0


@dataclass(frozen=True, slots=True)
class Appended:
    """What became of facts: the new ones, and by place in the batch those that are not stored.

    Another fact has their id, or their running number.
    """

    stored: tuple[StoredEvent, ...] = ()
    cursor: int = 0
    ids_taken: frozenset[int] = frozenset()
    numbers_taken: frozenset[int] = frozenset()


# A worker of the planner that said nothing for so long is dead.
SILENT_MS: Final = 60_000


@dataclass(frozen=True, slots=True)
class Job:
    """Planning that was asked for; `asked` tells what differs from the show: vehicles, pins."""

    id: str
    show: str
    state: JobState
    seconds: int
    seed: int
    best: dict[str, Any] | None = None
    revision: int | None = None
    trouble: str | None = None
    stop: bool = False
    heard_at: int = 0
    asked: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class CasePhoto:
    """What is known of a photo of a case; `words` say what is on it, empty where nobody did."""

    code: str
    id: str
    words: str
    media_type: str
    at: int


@dataclass(frozen=True, slots=True)
class NightPhoto:
    """What is known of a photo of a night: which phone sent it, when."""

    id: str
    media_type: str
    device: str
    at: int


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as the phone sent it."""

    id: str
    media_type: str
    content: bytes
