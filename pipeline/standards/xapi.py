"""Answers out of xAPI statements: an array, one statement, pages of results, or JSON Lines.

Source: xAPI 1.0.3 parts 2 and 3 (ADL), for responses and patterns part 2, 2.4.4.1; IEEE 9274.1.1
(xAPI 2.0), whose statements have the same core. Names, addresses and extensions are not read
further than an identity needs.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from pipeline.standards.answer_records import ItemAnswer, LaterWord, LeftOut, Response, seconds_of
from pipeline.standards.events import EventFile
from pipeline.standards.json_reading import Paths, at, mapping, number, plain, read_at, text

_PREFIX = re.compile(r"\{(case_matters|order_matters|lang)=([^{}]*)\}")
_LISTS = ("choice", "sequencing", "fill-in", "long-fill-in", "matching", "performance")
_PAIRS = ("matching", "performance")
_TYPED = ("fill-in", "long-fill-in", "performance")


@dataclass(frozen=True, slots=True)
class Parsed:
    """A response or one pattern, apart from its delimiters and prefixes.

    Args:
        values: its items; a pair, or a step with its response, is one item with two parts.
        order_matters: whether a pattern asks for its order; true where nothing is said.
        case_matters: whether a pattern tells upper from lower case; false where nothing is said.
    """

    values: tuple[tuple[str, ...], ...]
    order_matters: bool = True
    case_matters: bool = False


def parsed(kind: str, text: str) -> Parsed:
    """Take a response or a pattern apart.

    Args:
        kind: the interaction type; "" where it is not said, which is read as `other`.
        text: as written, such as `{order_matters=false}3[,]2`.
    """
    bare, said = _without_prefixes(text) if kind in (*_TYPED, "") else (text, {})
    items = bare.split("[,]") if kind in _LISTS else [bare]
    values = []
    for item in items:
        inner = _without_prefixes(item)[0] if kind in _TYPED else item
        parts = inner.split("[.]", 1) if kind in _PAIRS else [inner]
        values.append(tuple(part.strip() for part in parts))
    if values == [("",)]:
        values = []
    return Parsed(
        tuple(values),
        order_matters=said.get("order_matters") != "false",
        case_matters=said.get("case_matters") == "true",
    )


def _without_prefixes(text: str) -> tuple[str, dict[str, str]]:
    said: dict[str, str] = {}
    bare = text.lstrip()
    while found := _PREFIX.match(bare):
        said[found[1]] = found[2].strip().casefold()
        bare = bare[found.end() :].lstrip()
    return bare if said else text, said


def only_order_differs(kind: str, patterns: Sequence[str], response: str) -> bool:
    """Whether a typed response fits no pattern, and would if none of them minded the order.

    It says nothing of right and wrong: the list of patterns may be incomplete.

    Args:
        kind: the interaction type; of others than fill-in, nobody types a list.
        patterns: `correctResponsesPattern`.
        response: as given.
    """
    if kind not in ("fill-in", "long-fill-in"):
        return False
    given = parsed(kind, response)
    pairs = [_cased(parsed(kind, one), given) for one in patterns]
    unordered = (Counter(ours) == Counter(theirs) for _, ours, theirs in pairs)
    fits = (
        ours == theirs if minds_order else Counter(ours) == Counter(theirs)
        for minds_order, ours, theirs in pairs
    )  # fmt: skip
    return any(unordered) and not any(fits)


_Items = tuple[tuple[str, ...], ...]


def _cased(pattern: Parsed, given: Parsed) -> tuple[bool, _Items, _Items]:
    """Whether a pattern minds the order, its items and those given, alike in case if it may be."""
    if pattern.case_matters:
        return pattern.order_matters, pattern.values, given.values
    ours, theirs = (
        tuple(tuple(part.casefold() for part in parts) for parts in one.values)
        for one in (pattern, given)
    )
    return pattern.order_matters, ours, theirs


_ANSWERED = ("http://adlnet.gov/expapi/verbs/answered", "https://adlnet.gov/expapi/verbs/answered")
_VOIDED = "adlnet.gov/expapi/verbs/voided"
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
_ONE_PERSON = (
    "accounts or OpenIDs that a statement names beside another identity, taken for the same "
    "person in this file"
)
_LISTED = {
    "choice": "choices", "sequencing": "choices", "likert": "scale", "performance": "steps",
}  # fmt: skip


class XapiStatements(EventFile):
    """One file of statements; a voided one, and one of two under the same id, is no answer."""

    inside: ClassVar[frozenset[str]] = frozenset({"statements"})

    def __init__(self, *file: Any) -> None:
        self._voided: set[str] = set()  # a voiding statement cannot be voided (2.3.2)
        self._voiding: set[str] = set()
        self._persons: dict[str, str] = {}
        self._seen: dict[str, bytes] = {}
        super().__init__(*file)

    @property
    def later(self) -> LaterWord:
        """Statements of earlier files that are voided here."""
        return LaterWord(withdrawn=frozenset(self._voided - self._voiding - {""}))

    def _hear(self, one: Mapping[str, Any]) -> None:
        verb, about = text(at(one, "verb.id")), text(at(one, "object.id"))
        if verb in _ANSWERED:
            self.items.add(about)
        elif _VOIDED in verb:
            self._voiding.add(_statement_id(one))
            self._voided.add(about.lower())
        first, *others = [*_identities(mapping(one.get("actor"))), ""]
        for other in filter(None, others):
            if self._persons.setdefault(other, first) != first:
                self._persons[other] = other  # named beside two persons, so it is neither

    def _answer(self, one: Mapping[str, Any], line: int) -> ItemAnswer | LeftOut | None:
        if not isinstance(one.get("verb"), dict):
            return LeftOut(line, _NO_STATEMENT)
        if why := self._why_none(one):
            return LeftOut(line, why, needs_look=False)
        student = actor_identity(mapping(one.get("actor")))
        if not student or not text(at(one, "object.id")):
            return LeftOut(line, _NO_STATEMENT if student else _NOBODY)
        definition = mapping(at(one, "object.definition"))
        kind = text(definition.get("interactionType"))
        result = mapping(one.get("result"))
        response = plain(result.get("response"))
        listed = definition.get("correctResponsesPattern")
        patterns = list(map(text, listed)) if isinstance(listed, list) else []
        score, points = _score(result)
        note = "" if text(one.get("timestamp")) else _STORED
        found = ItemAnswer(
            line=line,
            student=self._persons.get(student, student),
            responses=(Response("", tuple(_shown(kind, definition, response))),),
            score=score,
            points=points,
            note=_ORDER if only_order_differs(kind, patterns, response) else note,
            source=_statement_id(one),
            **read_at(one, _PATHS),
        )
        return LeftOut(line, _TWICE) if self._says_otherwise(found, result) else found

    def _why_none(self, one: Mapping[str, Any]) -> str:
        """Why a statement is left out on purpose; "" where it may be an answer of one person."""
        actor = mapping(one.get("actor"))
        if text(at(one, "verb.id")) not in _ANSWERED:
            return _OTHER_VERB
        if (name := _statement_id(one)) in self._voided and name not in self._voiding:
            return _CANCELLED
        if actor.get("objectType") == "Group" or "member" in actor:
            return _GROUP
        if mapping(one.get("object")).get("objectType", "Activity") != "Activity":
            return _NO_ACTIVITY
        response = at(one, "result.response")
        return "" if isinstance(response, str) or plain(response) else _NO_RESPONSE

    def _says_otherwise(self, found: ItemAnswer, result: Mapping[str, Any]) -> bool:
        """Whether an earlier statement of the same id has another content."""
        told = [found.student, found.item, result, found.answered_at]
        digest = hashlib.blake2b(
            json.dumps(told, default=str, sort_keys=True).encode(), digest_size=8
        ).digest()
        return bool(found.source) and self._seen.setdefault(found.source, digest) != digest

    def _notes(self, envelopes: Sequence[Mapping[str, Any]]) -> Iterator[str]:
        if envelopes and envelopes[-1].get("more"):
            yield (
                "the last page says that there are more statements (`more` is not empty): fetch "
                "the rest, which the source keeps ready for a day, and put it beside this file"
            )
        merged = sum(one != other for one, other in self._persons.items())
        if merged:
            yield f"{_ONE_PERSON}: {merged:,}"


def _statement_id(one: Mapping[str, Any]) -> str:
    return text(one.get("id")).lower()


def actor_identity(actor: Mapping[str, Any]) -> str:
    """One identity for an agent; an address is the same under `mbox` and `mbox_sha1sum`.

    Source: xAPI part 2, 2.4.2.3 (inverse functional identifiers). "" for none.
    """
    return next(_identities(actor), "")


def _identities(actor: Mapping[str, Any]) -> Iterator[str]:
    """All identities of an agent; the specification allows one, some sources give two."""
    if address := text(actor.get("mbox")):
        yield mailbox_identity(address)
    if digest := text(actor.get("mbox_sha1sum")):
        yield f"mbox_sha1sum:{digest.lower()}"
    if address := text(actor.get("openid")):
        yield f"openid:{address}"
    account = mapping(actor.get("account"))
    if name := text(account.get("name")):
        yield f"account:{text(account.get('homePage')).rstrip('/')}#{name}"


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


def _score(result: Mapping[str, Any]) -> tuple[float | None, float | None]:
    """Points of the source; its `success` counts where the points do not say the same."""
    score = mapping(result.get("score"))
    raw, most, scaled = (number(score.get(name)) for name in ("raw", "max", "scaled"))
    points = (raw, most) if raw is not None and most else (scaled, None if scaled is None else 1.0)
    success = result.get("success")
    if isinstance(success, bool) and (points[0] is None or (points[0] == points[1]) != success):
        return (1.0 if success else 0.0), 1.0
    return points


def _in_words(languages: Any) -> str:
    """A text out of a language map, English before others."""
    words = mapping(languages)
    for tag in sorted(words, key=lambda tag: (not str(tag).lower().startswith("en"), str(tag))):
        if found := text(words[tag]):
            return found
    return ""


def _name(activity: Any) -> str:
    """Name of an activity, else the end of its address."""
    named = _in_words(at(activity, "definition.name"))
    return named or text(at(activity, "id")).rstrip("/").rpartition("/")[2]


_PATHS: Paths = {
    "item": (text, ("object.id",)),
    "answered_at": (text, ("timestamp", "stored")),
    "seconds": (lambda value: seconds_of(text(value)), ("result.duration",)),
    "quiz": (_name, ("context.contextActivities.parent",)),
    "called": (_in_words, ("object.definition.description", "object.definition.name")),
}
