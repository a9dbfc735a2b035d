"""Answers out of xAPI statements; xAPI 1.0.3 parts 2 and 3 (ADL), IEEE 9274.1.1 (xAPI 2.0).

All statements are our own.
"""

from __future__ import annotations

import hashlib
import io
import json
from contextlib import nullcontext
from typing import Any

import pytest

from pipeline.errors import InputError
from pipeline.standards.answer_records import ItemAnswer, LeftOut
from pipeline.standards.xapi import XapiStatements, actor_identity, only_order_differs, parsed

ANSWERED = "http://adlnet.gov/expapi/verbs/answered"
VOIDED = "http://adlnet.gov/expapi/verbs/voided"
HOME = "https://northfold.example"


def statement(response: str | None = "2", kind: str = "fill-in", **more: Any) -> dict[str, Any]:
    made: dict[str, Any] = {
        "id": "6690e6c9-3ef0-4ed3-8b37-7f3964730bee",
        "actor": {"name": "Ann Other", "account": {"homePage": HOME, "name": "s-17"}},
        "verb": {"id": ANSWERED, "display": {"en-US": "clicked"}},
        "object": {
            "id": f"{HOME}/items/root-1",
            "definition": {"name": {"en": "x^2 = 4"}, "interactionType": kind},
        },
        "result": {} if response is None else {"response": response},
        "timestamp": "2026-02-03T10:15:00.000Z",
        "stored": "2026-02-03T10:16:00.000Z",
    }
    for name, value in more.items():
        if name in ("definition", "result"):
            (made["object"]["definition"] if name == "definition" else made["result"]).update(value)
        elif value is None:
            made.pop(name)
        else:
            made[name] = value
    return made


def read(content: Any, notes: list[str] | None = None) -> list[ItemAnswer | LeftOut]:
    data = content if isinstance(content, bytes) else json.dumps(content).encode()
    file = XapiStatements(lambda: nullcontext(io.BytesIO(data)), "a.json")
    return list(file.answers([] if notes is None else notes))


def one(**more: Any) -> ItemAnswer:
    (found,) = read(statement(**more))
    assert isinstance(found, ItemAnswer)
    return found


@pytest.mark.parametrize(
    "content",
    [
        statement(),
        [statement()],
        {"statements": [statement()], "more": ""},
        {"more": "", "statements": [statement()]},
        (json.dumps(statement()) + "\n").encode(),
        b"\xef\xbb\xbf" + json.dumps(statement(), indent=1).encode(),
        json.dumps([statement()]).encode("utf-16"),
    ],
    ids=["object", "array", "page", "page, more first", "a line", "with mark", "UTF-16"],
)
def test_every_form_holds_the_same_answer(content: Any):
    """Part 3, 2.1.3 (StatementResult), part 2, 2 (array or object); JSON Lines: common practice."""
    (found,) = read(content)

    assert isinstance(found, ItemAnswer)
    assert (found.student, found.item, found.responses[0].values) == (
        f"account:{HOME}#s-17", f"{HOME}/items/root-1", ("2",),
    )  # fmt: skip
    assert (found.answered_at, found.called) == ("2026-02-03T10:15:00.000Z", "x^2 = 4")
    assert "Ann" not in repr(found)


def test_lines_around_a_broken_one_are_read():
    lines = [json.dumps(statement(str(number), id=f"id-{number}")) for number in range(3)]
    lines[1] = lines[1][:60]
    found = read("\n".join(lines).encode())

    assert [type(each).__name__ for each in found] == ["ItemAnswer", "LeftOut", "ItemAnswer"]
    assert isinstance(found[1], LeftOut)
    assert found[1].line == 2
    assert found[1].reason.startswith("column 61: not JSON")


def test_a_line_that_breaks_off_is_told_to_end_too_soon():
    (first, second) = read(f'{json.dumps(statement())}\n{{"verb": {{"id"\n'.encode())

    assert isinstance(first, ItemAnswer)
    assert isinstance(second, LeftOut)
    assert (second.line, second.reason[:17]) == (2, "its end: not JSON")


@pytest.mark.parametrize(
    ("kind", "text", "values"),
    [
        ("fill-in", "3[,]2", [("3",), ("2",)]),
        ("fill-in", "{lang=en}3[,]{lang=es}2", [("3",), ("2",)]),
        ("fill-in", "{case_matters=true}{order_matters=false}3[,]2", [("3",), ("2",)]),
        ("fill-in", "{2, 4}", [("{2, 4}",)]),  # a set, no prefix
        ("fill-in", "[2,4)", [("[2,4)",)]),
        ("fill-in", "", []),
        ("long-fill-in", "x=2", [("x=2",)]),
        ("numeric", "0.5", [("0.5",)]),
        ("choice", "a[,]c", [("a",), ("c",)]),
        ("matching", "a[.]1[,]b[.]2", [("a", "1"), ("b", "2")]),
        ("performance", "s1[.]x=2[,]s2[.]", [("s1", "x=2"), ("s2", "")]),
        ("true-false", "true", [("true",)]),
        ("other", "3[,]2", [("3[,]2",)]),
    ],
)
def test_delimiters_and_prefixes_are_taken_apart(kind: str, text: str, values: list[Any]):
    """Part 2, 2.4.4.1: [,] between items, [.] inside pairs and steps, prefixes in front."""
    assert list(parsed(kind, text).values) == values


@pytest.mark.parametrize(
    ("kind", "patterns", "response", "differs"),
    [
        ("fill-in", ["2[,]3"], "2[,]3", False),
        ("fill-in", ["2[,]3"], "3[,]2", True),  # order matters unless it is said
        ("fill-in", ["{order_matters=false}2[,]3"], "3[,]2", False),
        ("fill-in", ["2[,]3", "3[,]2"], "3[,]2", False),  # any one pattern is enough
        ("fill-in", ["A[,]b"], "B[,]a", True),  # case does not matter unless it is said
        ("fill-in", ["{case_matters=true}A[,]b"], "B[,]a", False),
        ("fill-in", ["2[,]3"], "3", False),  # all items of a pattern
        ("fill-in", [], "3[,]2", False),  # an empty array: everything is wrong
        ("choice", ["a[,]c"], "c[,]a", False),
        ("sequencing", ["a[,]b"], "b[,]a", False),
    ],
)
def test_an_order_that_a_pattern_minds_is_told(
    kind: str, patterns: list[str], response: str, differs: bool
):
    """Part 2, 2.4.4.1, response patterns and their examples of meaning."""
    assert only_order_differs(kind, patterns, response) is differs


def test_identifiers_of_options_become_what_was_seen():
    """Part 2, 2.4.4.1: choices, scale, source and target are lists of id and description."""
    options = [{"id": "a", "description": {"de": "zwei", "en": "2"}}, {"id": "b"}]

    found = one(response="a[,]b", kind="choice", definition={"choices": options})
    assert found.responses[0].values == ("2", "b")

    sides = {"source": options, "target": [{"id": "t", "description": {"en": "4"}}]}
    found = one(response="a[.]t", kind="matching", definition=sides)
    assert found.responses[0].values == ("2 -> 4",)


def test_an_order_that_only_the_pattern_minds_is_noted():
    found = one(response="3[,]2", definition={"correctResponsesPattern": ["2[,]3"]})

    assert "another order" in found.note
    assert one(response="5", definition={"correctResponsesPattern": ["2[,]3"]}).note == ""


@pytest.mark.parametrize(
    ("result", "score"),
    [
        ({"success": True}, (1, 1)),
        ({"success": False}, (0, 1)),
        ({"success": False, "score": {"raw": 1, "max": 2}}, (1, 2)),
        ({"success": True, "score": {"raw": 1, "max": 2}}, (1, 1)),
        ({"score": {"scaled": 0.5}}, (0.5, 1)),
        ({"score": {"raw": 3}}, (None, None)),
        ({}, (None, None)),
    ],
)
def test_success_is_kept_as_the_verdict_of_the_source(result: Any, score: tuple[Any, Any]):
    """Part 2, 2.4.5: success and score stand on their own; nobody may infer one from the key."""
    found = one(result=result)

    assert (found.score, found.points) == (score if score[0] is not None else (None, None))


MAIL = "mailto:Ann.Other@Northfold.EXAMPLE"
DIGEST = hashlib.sha1(b"mailto:Ann.Other@northfold.example", usedforsecurity=False).hexdigest()


@pytest.mark.parametrize(
    ("actor", "identity"),
    [
        ({"mbox": MAIL}, f"mbox_sha1sum:{DIGEST}"),
        ({"mbox_sha1sum": DIGEST.upper()}, f"mbox_sha1sum:{DIGEST}"),
        ({"openid": "https://ann.example"}, "openid:https://ann.example"),
        ({"account": {"homePage": HOME + "/", "name": "7"}}, f"account:{HOME}#7"),
        ({"name": "Ann Other"}, ""),
    ],
)
def test_forms_of_one_actor_are_one_identity(actor: dict[str, Any], identity: str):
    """Part 2, 2.4.2.3: an address and its SHA-1, domain in lower case, are the same person."""
    assert actor_identity(actor) == identity


def test_identities_that_one_statement_names_are_one_person():
    """Part 2, 2.4.2.3 allows an agent one identity; where a source gives two, they belong to it."""
    account = {"homePage": HOME, "name": "7"}
    other = {"homePage": HOME, "name": "8"}
    notes: list[str] = []
    found = read(
        [
            statement(id="1", actor={"account": account}),
            statement(id="2", actor={"account": account, "mbox": MAIL}),
            statement(id="3", actor={"account": other}),
            statement(id="4", actor={"account": other, "mbox": MAIL}),
            statement(id="5", actor={"account": other, "mbox": "mailto:b@northfold.example"}),
        ],
        notes,
    )
    students = [one.student for one in found if isinstance(one, ItemAnswer)]

    assert students[0] == students[1] == f"mbox_sha1sum:{DIGEST}"
    assert students[2] == f"account:{HOME}#8"  # named beside two persons, so neither
    assert [note.rpartition(": ")[2] for note in notes] == ["1"]


@pytest.mark.parametrize(
    ("more", "why", "look"),
    [
        ({"verb": {"id": "http://adlnet.gov/expapi/verbs/completed"}}, "another verb", False),
        ({"verb": {"id": "urn:x", "display": {"en": "answered"}}}, "another verb", False),
        ({"actor": {"objectType": "Group", "mbox": MAIL}}, "a group", False),
        ({"actor": {"member": [{"mbox": MAIL}]}}, "a group", False),
        ({"actor": {"name": "Ann"}}, "nobody is named", True),
        ({"response": None}, "holds no response", False),
        ({"object": {"objectType": "StatementRef", "id": "x"}}, "no activity", False),
        ({"verb": None}, "no statement", True),
    ],
)
def test_what_is_no_answer_of_one_student_is_left_out(more: Any, why: str, look: bool):
    (found,) = read(statement(**more))

    assert isinstance(found, LeftOut)
    assert why in found.reason
    assert found.needs_look is look


def test_voided_statements_are_dropped_and_voiding_ones_cannot_be():
    """Part 2, 2.3.2: the voiding statement names the voided one, and stays itself."""
    voiding = statement(id="v", verb={"id": VOIDED},
                        object={"objectType": "StatementRef", "id": "A"})  # fmt: skip
    again = statement(id="w", verb={"id": VOIDED},
                      object={"objectType": "StatementRef", "id": "v"})  # fmt: skip
    found = read([again, voiding, statement(id="a"), statement(id="b")])

    assert [isinstance(each, ItemAnswer) for each in found] == [False, False, False, True]
    assert isinstance(found[2], LeftOut)
    assert "voided" in found[2].reason


def test_one_id_with_two_contents_is_sent_back():
    """Part 2, 2.3.1: statements are immutable."""
    found = read([statement("2"), statement("2"), statement("3")])

    assert [isinstance(each, ItemAnswer) for each in found] == [True, True, False]


def test_a_time_may_be_the_one_of_storing():
    """Part 2, 2.4.7: a missing timestamp is the same as stored."""
    found = one(timestamp=None)

    assert found.answered_at == "2026-02-03T10:16:00.000Z"
    assert "dated by when they were stored" in found.note


def test_a_page_that_is_not_the_last_is_told():
    """Part 3, 2.1.3: `more` is empty on the last page."""
    notes: list[str] = []
    read({"statements": [statement()], "more": "/xapi/more/2"}, notes)

    assert "there are more statements" in notes[0]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "a.json:1:1: there is no JSON"),
        (b'[{"a": 1},\n {"b" 2}]', "a.json:2:7: not JSON (Expecting ':' delimiter)"),
        (b'[{"a": 1}', "a.json:1:10: not JSON (expected ',')"),
        (b'{"a": NaN}', "NaN is no number of JSON"),
        (b"[" * 100_000, "values inside each other"),
        (b"[" + b'{"a":' * 70 + b"1" + b"}" * 70 + b"]", "values inside each other"),
        (b'{"a": ' + b"9" * 5000 + b"}", "a number of too many digits"),
        (b'["\xff"]', "a.json:1:3: a byte that is not UTF-8"),
    ],
    ids=lambda value: str(value)[:30],
)
def test_broken_json_is_refused_with_its_place(data: bytes, said: str):
    """RFC 8259."""
    with pytest.raises(InputError) as refused:
        read(data)

    assert said in str(refused.value)
