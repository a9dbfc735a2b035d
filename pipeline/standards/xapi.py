"""Answers out of xAPI statements: an array, one statement, pages of results, or JSON Lines.

Source: xAPI 1.0.3 parts 2 and 3 (ADL); IEEE 9274.1.1 (xAPI 2.0), whose statements have the same
core. Names, addresses and extensions are not read further than an identity needs.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any, BinaryIO

from pipeline.standards.answer_records import ItemAnswer, LeftOut, Response
from pipeline.standards.durations import seconds_of
from pipeline.standards.json_reading import JsonRecords
from pipeline.standards.json_values import mapping, number, plain, text
from pipeline.standards.xapi_responses import agrees, parsed

__all__ = ["actor_identity", "mailbox_identity", "statement_answers"]

_ANSWERED = ("http://adlnet.gov/expapi/verbs/answered", "https://adlnet.gov/expapi/verbs/answered")
_VOIDED = "adlnet.gov/expapi/verbs/voided"
_INSIDE = frozenset({"statements"})
_OTHER_VERB = "a statement with another verb than `answered`, which holds no answer"
_CANCELLED = "the statement was voided by a later one"
_GROUP = "given by a group, which is no student"
_NO_RESPONSE = "the statement holds no response, so what was answered is not known"
_NOBODY = (
    "nobody is named: expected an actor with mbox, mbox_sha1sum, openid or account "
    "(xAPI part 2, 2.4.2)"
)
_NO_STATEMENT = "no statement: expected an object with actor, verb and object (xAPI part 2, 2.4)"
_NO_ACTIVITY = "the object of the statement is no activity, so it is no question"
_TWICE = (
    "another statement in the file has the same id and says something else; statements are "
    "immutable (xAPI part 2, 2.3.1): take one of the two out"
)
_STORED = "answers without `timestamp`, dated by when they were stored"
_ORDER = (
    "answers with the values of the key in another order, which the pattern of the source calls "
    "wrong (order_matters); here they are judged by value"
)
_LISTED = {
    "choice": "choices", "sequencing": "choices", "likert": "scale", "performance": "steps",
}  # fmt: skip


def statement_answers(
    stream: BinaryIO, name: str, notes: list[str]
) -> Iterator[ItemAnswer | LeftOut]:
    """Answers of one file of statements, in its order.

    Args:
        stream: of the file's bytes, which can be read twice.
        name: how messages call it.
        notes: is told what is to be known of the whole file, once all answers are drawn.

    Raises:
        InputError: no JSON, or over a budget; names file, line and column.
    """
    voided = _voided(stream, name)
    seen: dict[str, bytes] = {}
    records = JsonRecords(stream, name, _INSIDE)
    for record in records:
        if record.broken:
            yield LeftOut(record.line, record.broken)
            continue
        yield _told_twice(record.value, seen, _answer(record.value, record.line, voided))
    more = [page["more"] for page in records.envelopes if page.get("more")]
    if more and records.envelopes[-1].get("more"):
        notes.append(
            "the last page says that there are more statements (`more` is not empty): fetch the "
            "rest, which the source keeps ready for a day, and put it beside this file"
        )


def _voided(stream: BinaryIO, name: str) -> frozenset[str]:
    """Ids of statements that a voiding statement names; a voiding statement stays itself."""
    stream.seek(0)
    if not any(_VOIDED in line for line in _texts(stream)):
        stream.seek(0)
        return frozenset()
    stream.seek(0)
    found, voiding = set(), set()
    for record in JsonRecords(stream, name, _INSIDE):
        one = mapping(record.value)
        if _VOIDED in text(mapping(one.get("verb")).get("id")):
            voiding.add(text(one.get("id")).lower())
            found.add(text(mapping(one.get("object")).get("id")).lower())
    stream.seek(0)
    return frozenset(found - voiding - {""})


def _texts(stream: BinaryIO) -> Iterator[str]:
    """Pieces of the file that overlap by as much as the word that is looked for."""
    before = b""
    while chunk := stream.read(1 << 20):
        data = (before + chunk).replace(b"\0", b"").replace(b"\\/", b"/")
        yield data.decode("latin-1")
        before = chunk[-256:]


def _told_twice(
    value: Any, seen: dict[str, bytes], answer: ItemAnswer | LeftOut
) -> ItemAnswer | LeftOut:
    """Hold an answer against earlier statements of the same id."""
    name = text(mapping(value).get("id")).lower()
    if not name or isinstance(answer, LeftOut):
        return answer
    digest = hashlib.sha256(
        json.dumps([answer.student, answer.item, _result(value), answer.answered_at], default=str,
                   sort_keys=True).encode()
    ).digest()  # fmt: skip
    if seen.setdefault(name, digest) != digest:
        return LeftOut(answer.line, _TWICE)
    return answer


def _result(value: Any) -> Mapping[str, Any]:
    return mapping(mapping(value).get("result"))


def _answer(value: Any, line: int, voided: frozenset[str]) -> ItemAnswer | LeftOut:
    if not isinstance(value, dict) or not isinstance(value.get("verb"), dict):
        return LeftOut(line, _NO_STATEMENT)
    if why := _why_none(value, voided):
        return LeftOut(line, why, needs_look=False)
    student = actor_identity(mapping(value.get("actor")))
    activity = mapping(value.get("object"))
    result = _result(value)
    if not student or not text(activity.get("id")):
        return LeftOut(line, _NO_STATEMENT if student else _NOBODY)
    response = plain(result.get("response"))
    if not response and not isinstance(result.get("response"), str):
        return LeftOut(line, _NO_RESPONSE, needs_look=False)
    definition = mapping(activity.get("definition"))
    kind = text(definition.get("interactionType"))
    at = text(value.get("timestamp"))
    score, points = _score(result)
    return ItemAnswer(
        line=line,
        student=student,
        item=text(activity.get("id")),
        responses=(Response("", tuple(_shown(kind, definition, response))),),
        answered_at=at or text(value.get("stored")),
        score=score,
        points=points,
        seconds=seconds_of(text(result.get("duration"))),
        quiz=_quiz(value),
        called=_in_words(definition.get("description")) or _in_words(definition.get("name")),
        note=_ORDER if _only_order_differs(kind, definition, response) else "" if at else _STORED,
    )


def _why_none(value: Mapping[str, Any], voided: frozenset[str]) -> str:
    """Why a statement is left out on purpose; "" where it is an answer of one person."""
    if text(mapping(value["verb"]).get("id")) not in _ANSWERED:
        return _OTHER_VERB
    if text(value.get("id")).lower() in voided:
        return _CANCELLED
    actor = mapping(value.get("actor"))
    if actor.get("objectType") == "Group" or "member" in actor:
        return _GROUP
    return "" if mapping(value.get("object")).get("objectType", "Activity") == "Activity" else (
        _NO_ACTIVITY
    )  # fmt: skip


def actor_identity(actor: Mapping[str, Any]) -> str:
    """One identity for an agent; an address is the same under `mbox` and `mbox_sha1sum`.

    Source: xAPI part 2, 2.4.2.3 (inverse functional identifiers). "" for none.
    """
    if address := text(actor.get("mbox")):
        return mailbox_identity(address)
    if digest := text(actor.get("mbox_sha1sum")):
        return f"mbox_sha1sum:{digest.lower()}"
    if address := text(actor.get("openid")):
        return f"openid:{address}"
    account = mapping(actor.get("account"))
    name = text(account.get("name"))
    return f"account:{text(account.get('homePage')).rstrip('/')}#{name}" if name else ""


def mailbox_identity(address: str) -> str:
    """The identity of a `mailto:` address: its SHA-1, the domain in lower case.

    Source: xAPI part 2, 2.4.2.3; the digest is an identifier as good as the address, and is keyed
    like every other one.
    """
    before, at, domain = address.strip().rpartition("@")
    scheme, colon, local = before.rpartition(":")
    whole = f"{scheme.lower() or 'mailto'}{colon or ':'}{local}{at}{domain.lower()}"
    return f"mbox_sha1sum:{hashlib.sha1(whole.encode(), usedforsecurity=False).hexdigest()}"


def _shown(kind: str, definition: Mapping[str, Any], response: str) -> Iterator[str]:
    """Values as a student saw or typed them."""
    for parts in parsed(kind, response).values:
        if kind == "matching":
            sides = zip(("source", "target"), parts, strict=False)
            words = [_named(definition, side, part) for side, part in sides]
        elif kind == "performance":
            words = list(parts[1:] or parts)
        else:
            words = [_named(definition, _LISTED.get(kind, ""), part) for part in parts]
        yield " -> ".join(words)


def _named(definition: Mapping[str, Any], among: str, identifier: str) -> str:
    listed = definition.get(among) if among else None
    for one in listed if isinstance(listed, list) else ():
        if text(mapping(one).get("id")) == identifier:
            return _in_words(mapping(one).get("description")) or identifier
    return identifier


def _only_order_differs(kind: str, definition: Mapping[str, Any], response: str) -> bool:
    listed = definition.get("correctResponsesPattern")
    if kind not in ("fill-in", "long-fill-in") or not isinstance(listed, list):
        return False
    patterns = [one for one in listed if isinstance(one, str)]
    return not agrees(kind, patterns, response) and agrees(kind, patterns, response, any_order=True)


def _score(result: Mapping[str, Any]) -> tuple[float | None, float | None]:
    """Points of the source; its `success` counts where the points do not say the same."""
    score = mapping(result.get("score"))
    raw, most, scaled = (number(score.get(name)) for name in ("raw", "max", "scaled"))
    points = (raw, most) if raw is not None and most else (scaled, None if scaled is None else 1.0)
    success = result.get("success")
    if isinstance(success, bool) and (points[0] is None or (points[0] == points[1]) != success):
        return (1.0 if success else 0.0), 1.0
    return points


def _quiz(value: Mapping[str, Any]) -> str:
    """Name of the activity that the question belongs to, else the end of its address."""
    above = mapping(mapping(value.get("context")).get("contextActivities")).get("parent")
    parent = mapping(above[0] if isinstance(above, list) and above else above)
    named = _in_words(mapping(parent.get("definition")).get("name"))
    return named or text(parent.get("id")).rstrip("/").rpartition("/")[2]


def _in_words(languages: Any) -> str:
    """A text out of a language map, English before others."""
    words = mapping(languages)
    for tag in sorted(words, key=lambda tag: (not str(tag).lower().startswith("en"), str(tag))):
        if found := text(words[tag]):
            return found
    return ""
