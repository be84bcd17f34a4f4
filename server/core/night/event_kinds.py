"""What the crew can report: one frozen type for each kind of event."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final, Literal

from server.core.night.event_kinds_way import Hands, RampMeasured

Role = Literal["loader", "chief", "owner"]
Read = Literal["camera", "photo", "row_photo", "wedge", "typed", "tap"]
ExcuseWhy = Literal["left_on_purpose", "never_came", "swapped", "other_vehicle"]
WeighedHow = Literal["scale", "guess"]
SignerRole = Literal["chief", "driver", "venue"]


@dataclass(frozen=True, slots=True)
class Person:
    """Who says it, and as what."""

    id: str
    name: str
    role: Role


@dataclass(frozen=True, slots=True)
class On:
    """A case came on board; `row` None: as planned, else where the crew says it stands."""

    kind: ClassVar[str] = "on"
    code: str
    read: Read
    row: int | None = None
    why: str | None = None
    aim: tuple[int, ...] = ()  # where its label lay: across, down, size in 1/1000 of the aim frame


@dataclass(frozen=True, slots=True)
class Off:
    """A case went off: the step of an unloading move; in a loading move taken off again."""

    kind: ClassVar[str] = "off"
    code: str
    read: Read
    why: str | None = None
    aim: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Strapped:
    """Straps of a row counted, and whether its slack is filled."""

    kind: ClassVar[str] = "strapped"
    row: int
    count: int
    filled: bool


@dataclass(frozen=True, slots=True)
class Opened:
    """A row was opened again."""

    kind: ClassVar[str] = "opened"
    row: int
    why: str


@dataclass(frozen=True, slots=True)
class Took:
    """This phone works that row from now on."""

    kind: ClassVar[str] = "took"
    row: int


@dataclass(frozen=True, slots=True)
class Answered:
    """A check answered."""

    kind: ClassVar[str] = "answered"
    check: str
    ok: bool
    note: str | None = None
    photo: str | None = None


@dataclass(frozen=True, slots=True)
class Excused:
    """The chief accounts for a due case that is not on board."""

    kind: ClassVar[str] = "excused"
    code: str
    why: ExcuseWhy
    custodian: str | None = None
    collect_by: str | None = None
    for_code: str | None = None
    to_vehicle: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Unexcused:
    """The chief takes an excuse back."""

    kind: ClassVar[str] = "unexcused"
    code: str


@dataclass(frozen=True, slots=True)
class Added:
    """A sub-hired or late case; it travels with us or returns from the venue."""

    kind: ClassVar[str] = "added"
    code: str
    name: str
    owner: str
    travels: bool
    length_um: int | None = None
    width_um: int | None = None
    height_um: int | None = None
    mass_g: int | None = None
    photo: str | None = None


@dataclass(frozen=True, slots=True)
class Weighed:
    """A case was put on a scale, or the chief answers for a guess of its mass."""

    kind: ClassVar[str] = "weighed"
    code: str
    mass_g: int
    how: WeighedHow


@dataclass(frozen=True, slots=True)
class Damaged:
    """A case was found damaged."""

    kind: ClassVar[str] = "damaged"
    code: str
    note: str
    photo: str | None = None


@dataclass(frozen=True, slots=True)
class Repaired:
    """A case is fixed, or was not damaged after all."""

    kind: ClassVar[str] = "repaired"
    code: str


@dataclass(frozen=True, slots=True)
class Seen:
    """A case was seen somewhere."""

    kind: ClassVar[str] = "seen"
    code: str
    place: str
    read: Read


@dataclass(frozen=True, slots=True)
class Hazard:
    """Something that can hurt someone, for all to see."""

    kind: ClassVar[str] = "hazard"
    hazard: str
    text: str
    photo: str | None = None


@dataclass(frozen=True, slots=True)
class HazardGone:
    """A hazard is gone."""

    kind: ClassVar[str] = "hazard_gone"
    hazard: str


@dataclass(frozen=True, slots=True)
class Walked:
    """One stop of the night's walk."""

    kind: ClassVar[str] = "walked"
    stop: str
    ok: bool
    note: str | None = None


@dataclass(frozen=True, slots=True)
class RowPhoto:
    """A photo of a whole row and the labels read in it."""

    kind: ClassVar[str] = "row_photo"
    row: int
    photo: str
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnsentKnown:
    """The chief lets go though these phones hold unsent scans."""

    kind: ClassVar[str] = "unsent_known"
    devices: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Overridden:
    """The chief overrides one gate by name, with a reason."""

    kind: ClassVar[str] = "overridden"
    gate: str
    why: str


@dataclass(frozen=True, slots=True)
class Signer:
    """One signature; the drawing is SVG path data."""

    role: SignerRole
    name: str
    signature: str


@dataclass(frozen=True, slots=True)
class Released:
    """The chief signs that a vehicle may leave; `digest` is the head of the record chain."""

    kind: ClassVar[str] = "released"
    signature: str
    signers: tuple[Signer, ...]
    digest: str


@dataclass(frozen=True, slots=True)
class Recalled:
    """The chief takes a release back."""

    kind: ClassVar[str] = "recalled"
    why: str


@dataclass(frozen=True, slots=True)
class SignedOff:
    """The chief signs that the night is complete."""

    kind: ClassVar[str] = "signed_off"
    signature: str
    signers: tuple[Signer, ...]
    digest: str


@dataclass(frozen=True, slots=True)
class Closed:
    """Put-away is done."""

    kind: ClassVar[str] = "closed"


@dataclass(frozen=True, slots=True)
class Undone:
    """Voids an event of the same device; nothing brings a voided event back."""

    kind: ClassVar[str] = "undone"
    event: str


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """Own running numbers that will never come, as the server can never take them."""

    kind: ClassVar[str] = "withdrawn"
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Unknown:
    """A kind that this version does not know: kept, and counted for nothing."""

    kind: str


Known = (
    On | Off | Strapped | Opened | Took | Answered | Excused | Unexcused | Added | Damaged
    | Repaired | Seen | Weighed | Hazard | HazardGone | Hands | RampMeasured | Walked | RowPhoto
    | UnsentKnown | Overridden | Released | Recalled | SignedOff | Closed | Undone | Withdrawn
)  # fmt: skip
Body = Known | Unknown
CHIEF_KINDS: Final = frozenset(  # of the chief or the owner; from others they count for nothing
    {"excused", "unexcused", "unsent_known", "overridden", "released", "recalled", "signed_off"}
)
