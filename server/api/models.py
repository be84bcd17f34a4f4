"""What the crew's phones send and get, as models: strict, and no key that is not known."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, RootModel

from server.core.shop.tags import LONGEST_TAG

Name = Annotated[
    str,
    Field(
        min_length=1, max_length=60, pattern=r"^[^\x00-\x1f\x7f]*[^\x00-\x20\x7f][^\x00-\x1f\x7f]*$"
    ),
]
DeviceId = Annotated[str, Field(min_length=4, max_length=64, pattern=r"^[A-Za-z0-9_-]+$")]
RoleWord = Literal["loader", "chief", "owner"]


# How an answer that is no JSON is described in the OpenAPI document.
Answers = dict[int | str, dict[str, str | dict[str, dict[str, Any]]]]


class Strict(BaseModel):
    """Base class of every model of a request."""

    model_config = ConfigDict(extra="forbid", strict=True)


class Join(Strict):
    """A phone joins a show; `device_key` proves that it is a phone the show knows."""

    code: str = Field(min_length=1, max_length=40)
    name: Name
    device: DeviceId
    pin: str | None = Field(None, max_length=64)
    device_key: str | None = Field(None, max_length=64)


class SessionAnswer(BaseModel):
    """Who is in."""

    id: str
    name: str
    role: RoleWord
    show: str | None


class HereAnswer(SessionAnswer):
    """Who is in, and the last word of this phone, should it have lost its storage since."""

    device: str | None
    last_n: int
    unsent: int


class JoinAnswer(BaseModel):
    """Who is in now, and the key with which this phone signs its facts."""

    session: SessionAnswer
    device_key: str


class SetUp(Strict):
    """An owner's first password, by the one-time link."""

    token: str = Field(min_length=1, max_length=100)
    name: Name
    password: str = Field(max_length=256)


class SignIn(Strict):
    """An owner signs in."""

    name: Name
    password: str = Field(max_length=256)


class EventsBatch(Strict):
    """Facts of a phone; each is checked by itself, so that one bad fact holds up no other."""

    device: DeviceId
    events: list[Any] = Field(max_length=1000)
    since: int = Field(0, ge=0, le=2**53)


class Refused(BaseModel):
    """A fact that can never be taken, and why; `code` where the phone can mend it.

    `id_taken`, `number_taken`: another fact has its id or its running number.
    """

    id: str
    reason: str
    code: str = ""


class Numbered(BaseModel):
    """A fact, its running number on the show, and the server's time when it was stored."""

    seq: int
    at: int
    event: dict[str, Any]


class Note(BaseModel):
    """What the server found when it judged a fact again."""

    at: int
    text: str
    event: str
    reasons: list[str] = []


class EventsAnswer(BaseModel):
    """What is stored, what is refused, and what this phone has not seen."""

    stored: list[str]
    refused: list[Refused]
    cursor: int
    events: list[Numbered]
    more: bool
    notes: list[Note]
    gaps: list[int]
    gap_ranges: list[tuple[int, int]] = []
    now: int
    # Facts stored up to then are in two backups; only where nothing was sent.
    backed_up: int = 0


class EventsPage(BaseModel):
    """Facts after a cursor."""

    events: list[Numbered]
    cursor: int
    more: bool


class NotesAnswer(BaseModel):
    """The server's notes of a show."""

    notes: list[Note]


class Last(BaseModel):
    """The id of the fact up to which a phone has read; empty: it does not say."""

    model_config = ConfigDict(extra="ignore")
    last: str = Field("", max_length=64)


class Since(Last):
    """From where to read on."""

    since: int = Field(0, ge=0, le=2**53)


class Heartbeat(Strict):
    """What a phone holds back."""

    device: DeviceId
    unsent: int = Field(ge=0, le=10**7)
    last_n: int = Field(ge=0, le=2**53)


class DeviceAnswer(BaseModel):
    """One phone of the show, as it was last heard; `missing` facts were numbered but never came."""

    device: str
    name: str
    role: RoleWord
    unsent: int
    last_n: int
    heard_at: int
    missing: int
    out: bool


class DevicesAnswer(RootModel[list[DeviceAnswer]]):
    """Every phone of the show."""


class PhotoAnswer(BaseModel):
    """The name under which a photo is kept."""

    photo: str


class ReadingAnswer(BaseModel):
    """One label in a photo; corners in pixels of the photo."""

    text: str
    symbology: str
    box: list[list[float]]
    known: bool
    code: str | None


class ReadAnswer(BaseModel):
    """Every label in a photo, and the size of the upright photo in which corners are given."""

    width: int
    height: int
    readings: list[ReadingAnswer]


class Tag(Strict):
    """A sticker of another system, to be bound to a case."""

    code: str = Field(min_length=1, max_length=60)
    text: str = Field(min_length=1, max_length=LONGEST_TAG)


class TagAnswer(BaseModel):
    """The case that the tag names from now on."""

    code: str


class Nothing(BaseModel):
    """It is done."""


class Problem(BaseModel):
    """Problem details (RFC 9457)."""

    type: str = Field(examples=["/api/problems/invalid-value"])
    title: str
    status: int
    detail: str
    errors: list[dict[str, str | int]] = []


class ClashModel(BaseModel):
    """A field that two people changed: what it was, what each made of it, who did when."""

    field: str
    before: Any
    yours: Any
    theirs: Any
    by: str
    at: int


class ChangedProblem(Problem):
    """Somebody changed the same fields since the version that a change names."""

    version: int
    conflicts: list[ClashModel]
