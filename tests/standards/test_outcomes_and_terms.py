"""Outcomes out of CASE 1.1 packages, terms and classes out of OneRoster CSV 1.1 and 1.2."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from pipeline.course import read_course
from pipeline.errors import CourseError, InputError
from pipeline.standards.case import cited, read_case_package
from pipeline.standards.oneroster import read_sessions

FIFTH = "6f2c1a5e-0d3b-5c4d-9e8f-112233445566"  # version 5, as real packages have them
FIRST = "6F2C1A5E-0D3B-1C4D-9E8F-112233445577"


def framework(*items: dict[str, Any]) -> bytes:
    document = {"identifier": FIFTH, "uri": "urn:x", "creator": "us", "title": "Algebra",
                "lastChangeDateTime": "2026-01-01T00:00:00Z"}  # fmt: skip
    return json.dumps({"CFDocument": document, "CFItems": list(items)}).encode()


def item(identifier: str = FIFTH, **more: str) -> dict[str, str]:
    return {"identifier": identifier, "fullStatement": "Solve quadratic equations.",
            "uri": f"https://northfold.example/{identifier}", **more}  # fmt: skip


def test_statements_are_cited_by_identifier_address_or_code():
    """CASE 1.1, CFItem; identifiers of any version of RFC 4122, versions 1 and 5 here."""
    data = framework(item(humanCodingScheme="A.1"), item(FIRST, humanCodingScheme="A.2"))
    found = cited(read_case_package(io.BytesIO(data), "a.json"))

    assert {found[name].identifier for name in (FIFTH, f"https://northfold.example/{FIFTH}", "A.1")}
    assert found[FIRST.lower()].code == "A.2"


def test_a_code_of_two_statements_cites_neither():
    data = framework(item(humanCodingScheme="A"), item(FIRST, humanCodingScheme="A"))

    assert "A" not in cited(read_case_package(io.BytesIO(data), "a.json"))


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"{}", "a.json:1:1: no CASE package"),
        (b"[1]", "a.json:1:1: no CASE package"),
        (framework(item("A.1")), "CFItem 1 has identifier 'A.1'; expected a UUID"),
        (framework({"identifier": FIFTH}), "CFItem 1 has no fullStatement"),
        (b'{"CFDocument": }', "a.json:1:16: not JSON"),
    ],
)
def test_what_is_no_package_is_refused(data: bytes, said: str):
    with pytest.raises(InputError) as refused:
        read_case_package(io.BytesIO(data), "a.json")

    assert said in str(refused.value)


SESSIONS = (
    b"sourcedId,status,dateLastModified,title,type,startDate,endDate,parentSourcedId,schoolYear\n"
    b"y,active,,2026,schoolYear,2025-08-18,2026-05-15,,2026\n"
    b"s1,active,,Spring 2026,semester,2026-01-12,2026-05-01,y,2026\n"
    b"s0,active,,Fall 2025,semester,2025-08-18,2025-12-12,y,2026\n"
    b"t1,active,,Spring first half,term,2026-01-12,2026-03-06,s1,2026\n"
    b"g1,active,,Marking 1,gradingPeriod,2026-01-12,2026-02-06,s1,2026\n"
    b"s9,tobedeleted,,Summer 2026,semester,2026-06-01,2026-07-31,y,2026\n"
)
CLASSES = (
    b"sourcedId,status,dateLastModified,title,grades,courseSourcedId,classCode,classType,location,"
    b"schoolSourcedId,termSourcedIds,subjects,subjectCodes,periods\n"
    b'c1,active,,MAT 101-01,,m,,scheduled,,o,"s1",,,\n'
)
USERS = b"sourcedId,username,givenName,familyName\nu1,ann,Ann,Other\n"


def test_terms_and_outcomes_come_from_the_folder_standards(course_of: Callable[..., Path]):
    """Week 1 begins on the session's startDate; of a session and its parts the whole one counts."""
    items = f"item,topic,task,problem,outcome\nroot-1,roots,solve,x^2 = 4,{FIFTH.upper()}\n"
    files = {
        "academicSessions.csv": SESSIONS, "users.csv": USERS, "demographics.csv": b"\xff\xfe\xff",
        "outcomes.json": framework(item()),
    }  # fmt: skip
    course = read_course(course_of({}, files, items=items))

    assert [(term.id, term.first_day, term.weeks) for term in course.terms] == [
        ("Fall 2025", date(2025, 8, 18), 17), ("Spring 2026", date(2026, 1, 12), 16),
    ]  # fmt: skip
    assert course.outcomes[0].statement == "Solve quadratic equations."
    assert course.declared_terms
    assert "Ann" not in repr(course)


LINKED = f"""<manifest><resources><resource identifier="r" href="i.xml"><metadata>
<labelledGUID xmlns="http://www.imsglobal.org/xsd/qti/qtiv3p0/imscsmd_v1p1"><GUID>{FIFTH}</GUID>
</labelledGUID></metadata></resource></resources></manifest>""".encode()
ITEM = (
    b'<assessmentItem xmlns="http://www.imsglobal.org/xsd/imsqti_v2p1" identifier="root-1" '
    b'title=""><itemBody><p>x</p></itemBody></assessmentItem>'
)


def test_a_package_links_its_items_to_outcomes(course_of: Callable[..., Path]):
    """QTI 3.0 packaging: labelledGUID of a resource names the CFItem that it serves."""
    files = {
        "bank/imsmanifest.xml": LINKED, "bank/i.xml": ITEM, "outcomes.json": framework(item()),
    }  # fmt: skip
    course = read_course(course_of({}, files))

    assert [one.outcome for one in course.items] == [FIFTH, None, None, None]
    assert [one.statement for one in course.outcomes] == ["Solve quadratic equations."]


def test_terms_of_the_settings_come_first(course_of: Callable[..., Path]):
    settings = '[[terms]]\nid = "own"\nfirst_day = 2026-01-05\nweeks = 15\n'
    course = read_course(course_of({}, {"academicSessions.csv": SESSIONS}, settings=settings))

    assert [term.id for term in course.terms] == ["own"]


def test_classes_say_which_sessions_are_terms_and_what_a_section_is_called(load: Callable):
    """classes.csv: termSourcedIds is a list in one field; OneRoster 1.1 and 1.2."""
    found = load(
        {"a.csv": b"student,item,answer,section,answered_at\nann,root-1,2,c1,2026-02-03\n"},
        {"academicSessions.csv": SESSIONS, "classes.csv": CLASSES},
    )

    assert [term.id for term in found.course.terms] == ["Spring 2026"]
    assert found.answers("section", "term", "answered_week") == [("MAT 101-01", "Spring 2026", 4)]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (b"s1,soon,2026-05-01", "a.csv:2:1: startDate is 'soon'; expected a date"),
        (b"s1,2026-05-01,2026-01-12", "a.csv:2:1: endDate 2026-01-12 is before startDate"),
        (None, "a.csv:1:1: no column title; expected sourcedId, title, type"),
    ],
)
def test_a_broken_session_is_told(row: bytes | None, said: str):
    head = ["sourcedId", "type", "startDate", "endDate"]
    rows: list[tuple[int, list[str]]] = [(1, head if row is None else [*head, "title"])]
    if row is not None:
        name, first, last = row.decode().split(",")
        rows.append((2, [name, "term", first, last, "T"]))
    with pytest.raises(InputError) as refused:
        read_sessions(rows, "a.csv")

    assert said in str(refused.value)


def test_a_broken_file_in_the_folder_stops_with_its_place(course_of: Callable[..., Path]):
    folder = course_of({}, {"outcomes.json": b'{"CFDocument": }'})

    with pytest.raises(CourseError, match=r"standards/outcomes\.json:1:16: not JSON"):
        read_course(folder)
