"""What the office sends and gets, as models; lengths in micrometres, masses in grams."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, RootModel, model_validator

from server.api.case_models import (
    CaseModel,
    Line,
    UnitsModel,
)
from server.api.declared import NO_CONTROLS
from server.api.models import Strict


class CasesAnswer(RootModel[list[CaseModel]]):
    """The whole fleet."""


# Language → words; at least one language.
Words = Annotated[
    dict[
        Annotated[str, Field(min_length=2, max_length=12)],
        Annotated[str, Field(min_length=1, max_length=300)],
    ],
    Field(min_length=1, max_length=20),
]


class CheckModel(Strict):
    """One question of a check list; `note` asks for a number or a name beside the answer."""

    id: Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[a-z0-9_]+$")]
    move: Literal["shop_load", "load_in", "load_out", "put_away"]
    scope: Literal["vehicle", "show"] = "vehicle"
    text: Words
    gate: Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[a-z0-9_]+$")]
    moment: Literal["before", "during", "end"] = "end"
    photo: bool = False
    note: bool = False


class StopModel(Strict):
    """One stop of the night's walk."""

    id: Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[a-z0-9_]+$")]
    text: Words


class ShopModel(Strict):
    """How the shop counts, numbers and checks; `numbering` empty: codes with check character.

    `language`: what papers are written in.

    `homes`: places in the order in which they are walked.
    """

    name: Line = ""
    units: UnitsModel = UnitsModel()
    language: Literal["en", "es"] = "en"
    numbering: Annotated[str, Field(max_length=40)] = ""
    checks: list[CheckModel] = Field(default_factory=list, max_length=200)
    walk: list[StopModel] = Field(default_factory=list, max_length=100)
    homes: list[Annotated[str, Field(max_length=40)]] = Field(default_factory=list, max_length=500)


class ImportQuery(BaseModel):
    """`dry_run=1` only says what would happen."""

    model_config = ConfigDict(extra="ignore")
    dry_run: bool = False


class ImportAnswer(BaseModel):
    """How many cases are new, changed, and as they were; the first changes cell by cell."""

    new: int
    changed: int
    same: int
    changes: list[dict[str, Any]] = []


class JoinCard(BaseModel):
    """How the crew gets in."""

    code: str | None
    url: str | None
    qr_svg: str | None
    pin_set: bool
    ends_at: int


class PinModel(Strict):
    """The chief's PIN; absent: the server picks six digits."""

    pin: Annotated[str, Field(min_length=6, max_length=64, pattern=r"^[^\x00-\x1f]+$")] | None = (
        None
    )


class PinAnswer(BaseModel):
    """The chief's PIN, shown this once."""

    pin: str


class IssueModel(Strict):
    """`words`: why each concern stays, by its key; each that has none is refused by name.

    `instead_of`: the revision that the page saw as issued (0: none). Where another was issued
    since, the answer is 412 and nothing is issued.
    """

    words: dict[str, Annotated[str, Field(max_length=200, pattern=NO_CONTROLS)]] = Field(
        default_factory=dict, max_length=20
    )
    instead_of: int | None = Field(None, ge=0)


class ConcernsAnswer(RootModel[list[dict[str, Any]]]):
    """What should be settled before issue: key, title, lines, way out and the page that has it."""


class PlanModel(Strict):
    """How long to look for a better plan, and for which one.

    `alternatives`: how many easier plans on more floor are asked beside the shortest. `robust`:
    rows that close when cases are off. One of the two at most.
    """

    seconds: int = Field(10, ge=1, le=300)
    seed: int = Field(1, ge=0, le=10**9)
    alternatives: int = Field(0, ge=0, le=10)
    robust: bool = False

    @model_validator(mode="after")
    def _one_of_both(self) -> Self:
        if self.robust and self.alternatives:
            raise ValueError("expected either alternatives or robust")
        return self


class JobAnswer(BaseModel):
    """Planning, as far as it is.

    `best` has, where asked: the `moves` from a revision on, the `choices` of floor against ease,
    what `robust` costs.
    """

    job: str
    state: Literal["waiting", "working", "done", "failed"]
    best: dict[str, Any] | None = None
    revision: int | None = None
    trouble: str | None = None


class PlanLine(BaseModel):
    """A revision in the list."""

    revision: int
    made_at: int
    issued_at: int | None
    floor_length_um: int
    lower_bound_um: int
    proven: bool
    left_out: int
    faults: int


class PlansAnswer(RootModel[list[PlanLine]]):
    """Every revision of a show."""


class QualityModel(BaseModel):
    """How good a revision is, as when it was made: floor, the bound no plan undercuts, proof.

    `seconds`: how long was looked; `asked`: what differed from the plain question (other vehicles,
    rows that stay, choices, room for error); `trouble`: what keeps cases out; both null where it
    was no planning of the office, such as a plan moved by hand.
    """

    floor_length_um: int
    lower_bound_um: int
    proven: bool
    vehicles: int
    left_out: int
    seconds: float
    asked: dict[str, Any] | None
    trouble: str | None
    robust: dict[str, Any] | None = None
    by_planner: bool


class PlanAnswer(BaseModel):
    """A revision: the plan document, what the judge found, the vehicle sheets with figures.

    `drops`: when each case was needed when the plan was made.
    """

    revision: int
    plan: dict[str, Any]
    faults: list[str]
    sheets: list[dict[str, Any]]
    issued: bool
    quality: QualityModel
    drops: dict[str, int]


class AuditAnswer(BaseModel):
    """Who did what, newest first."""

    entries: list[dict[str, Any]]
