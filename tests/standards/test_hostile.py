"""Whatever the bytes: records, or one clear message; never anything else, and no hang."""

from __future__ import annotations

import io
from collections.abc import Callable
from contextlib import nullcontext, suppress
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.errors import InputError
from pipeline.standards import read_qti_items
from pipeline.standards.caliper import CaliperEvents
from pipeline.standards.case import read_case_package
from pipeline.standards.events import EventFile
from pipeline.standards.qti_results import result_answers
from pipeline.standards.xapi import XapiStatements

RESULT = (
    b'<assessmentResult xmlns="http://www.imsglobal.org/xsd/imsqti_result_v2p1">'
    b'<context sourcedId="7"/><itemResult identifier="q" datestamp="2026-02-03T10:00:00" '
    b'sessionStatus="final"><responseVariable identifier="R" cardinality="single">'
    b"<candidateResponse><value>2</value></candidateResponse></responseVariable></itemResult>"
    b"</assessmentResult>"
)
ITEM = (
    b'<questestinterop><item ident="i"><presentation><response_str ident="R"><render_fib/>'
    b"</response_str></presentation><resprocessing><respcondition><conditionvar><or>"
    b'<varequal respident="R">7</varequal></or></conditionvar><setvar>1</setvar></respcondition>'
    b"</resprocessing></item></questestinterop>"
)
STATEMENT = (
    b'{"statements": [{"id": "a", "actor": {"mbox": "mailto:a@b.example"}, "verb": {"id": '
    b'"http://adlnet.gov/expapi/verbs/answered"}, "object": {"id": "q", "definition": '
    b'{"interactionType": "matching", "correctResponsesPattern": ["a[.]b"]}}, "result": '
    b'{"response": "a[.]b[,]c", "score": {"raw": 1, "max": 2}}}], "more": ""}\n{"verb": 1}'
)
EVENT = (
    b'{"data": [{"type": "AssessmentItemEvent", "actor": "u", "action": "Completed", "object": '
    b'"q", "generated": {"type": "FillinBlankResponse", "values": ["2", 3, null], "attempt": '
    b'{"id": "t", "count": 1}}}, {"type": "GradeEvent", "object": "t", "generated": 5}]}'
)
CASE = (
    b'{"CFDocument": {"title": "x"}, "CFItems": [{"identifier": '
    b'"6f2c1a5e-0d3b-5c4d-9e8f-112233445566", "fullStatement": "x"}]}'
)


def events(kind: type[EventFile], data: bytes) -> object:
    return list(kind(lambda: nullcontext(io.BytesIO(data)), "f").answers([]))


READERS: list[tuple[bytes, Callable[[bytes], object]]] = [
    (RESULT, lambda data: list(result_answers(io.BytesIO(data), "f"))),
    (ITEM, lambda data: read_qti_items(io.BytesIO(data), "f")),
    (STATEMENT, partial(events, XapiStatements)),
    (EVENT, partial(events, CaliperEvents)),
    (CASE, lambda data: read_case_package(io.BytesIO(data), "f")),
]


DAMAGE = [
    b"", b"<", b">", b'"', b"{", b"]", b"\0", b"\xff", b"1", b"null", b"[[", b"<!DOCTYPE x>",
    b"&x;", b",", b"<![CDATA[",
]  # fmt: skip


@pytest.mark.parametrize(("sample", "read"), READERS)
def test_the_sample_itself_is_read(sample: bytes, read: Callable[[bytes], object]):
    assert read(sample)


@pytest.mark.parametrize(("sample", "read"), READERS)
@settings(max_examples=150)
@given(data=st.data())
def test_any_damage_is_told_in_one_message(
    sample: bytes, read: Callable[[bytes], object], data: st.DataObject
):
    cut = data.draw(st.integers(0, len(sample)))
    other = data.draw(st.sampled_from(DAMAGE))
    skipped = data.draw(st.integers(0, 12))
    damaged = sample[:cut] + other + sample[cut + skipped :]
    try:
        read(damaged)
    except InputError as error:
        message = str(error)
        assert message.startswith("f:")
        assert message.endswith(".")


@pytest.mark.parametrize(("sample", "read"), READERS)
@settings(max_examples=50)
@given(data=st.binary(max_size=80))
def test_any_bytes_are_told_in_one_message(
    sample: bytes, read: Callable[[bytes], object], data: bytes
):
    assert sample
    with suppress(InputError):
        read(data)
