"""Checklist: answers to the checks; the chief's beats a loader's, then the latest counts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from server.core.crew.bundle import Bundle, Check, Move
from server.core.night.event_kinds import Answered, Walked
from server.core.night.events import Event
from server.core.night.marks import mark
from server.core.night.state import CheckState, StopState

Key = tuple[str, str | None, str]


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer and who gave it; `said` is the latest answer of each phone."""

    ok: bool
    note: str | None
    photo: str | None
    event: Event
    said: dict[str, bool] = field(default_factory=dict)


Answers = dict[Key, Answer]


def gather_answers(bundle: Bundle, events: Iterable[Event]) -> Answers:
    """Read the answer that counts for each check from events in order."""
    answers: Answers = {}
    checks = {(check.move, check.id): check for check in bundle.checks}
    for event in events:
        body = event.body
        if isinstance(body, Answered) and (event.move, body.check) in checks:
            key = _key(checks[event.move, body.check], event.vehicle)
            _keep(answers, key, Answer(body.ok, body.note, body.photo, event))
    return answers


def _key(check: Check, vehicle: str | None) -> Key:
    return check.move, None if check.scope == "show" else vehicle, check.id


def _keep(answers: Answers, key: Key, answer: Answer) -> None:
    held = answers.get(key)
    said = held.said if held is not None else {}
    said[answer.event.device] = answer.ok
    chief_said = held is not None and held.event.by.role != "loader"
    if not (chief_said and answer.event.by.role == "loader"):
        answers[key] = replace(answer, said=said)


def checklist(
    bundle: Bundle, answers: Mapping[Key, Answer], move: Move, vehicle: str
) -> tuple[CheckState, ...]:
    """Return the list of one vehicle in one move; a check is open until answered well."""
    found = []
    for check in bundle.checks:
        if check.move != move:
            continue
        said = answers.get(_key(check, vehicle))
        found.append(
            CheckState(
                id=check.id,
                gate=check.gate,
                open=said is None or not said.ok or _lacks(check, said) is not None,
                ok=said.ok if said else None,
                note=said.note if said else None,
                photo=said.photo if said else None,
                disagreement=said is not None and len(set(said.said.values())) > 1,
                mark=mark(said.event) if said else None,
                lacks=_lacks(check, said),
            )
        )
    return tuple(found)


def _lacks(check: Check, said: Answer | None) -> Literal["note", "photo"] | None:
    """Return what a yes needs beside it: a number or name, a photo or why there is none."""
    if said is None or not said.ok:
        return None
    noted = bool(said.note and said.note.strip())
    if check.note and not noted:
        return "note"
    return "photo" if check.photo and not said.photo and not noted else None


def before_open(bundle: Bundle, checks: Iterable[CheckState], move: Move) -> tuple[str, ...]:
    """Return the open checks of a move that are asked before its first case."""
    first = {check.id for check in bundle.checks if check.move == move and check.before}
    return tuple(check.id for check in checks if check.open and check.id in first)


def walk(bundle: Bundle, events: Iterable[Event]) -> tuple[StopState, ...]:
    """Return the night's walk, stop by stop, by the same rule."""
    answers: Answers = {}
    for event in events:
        body = event.body
        if isinstance(body, Walked):
            _keep(answers, ("walk", None, body.stop), Answer(body.ok, body.note, None, event))
    found = []
    for stop in bundle.walk:
        said = answers.get(("walk", None, stop))
        found.append(
            StopState(
                id=stop,
                done=said is not None and said.ok,
                ok=said.ok if said else None,
                note=said.note if said else None,
                mark=mark(said.event) if said else None,
            )
        )
    return tuple(found)
