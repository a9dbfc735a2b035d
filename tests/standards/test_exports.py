"""Exports in open standards on their way into the database: no map, every row accounted for."""

from __future__ import annotations

import gzip
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import NAMESPACE_URL, uuid5

import pytest

from pipeline.cli import main
from pipeline.ingest.pseudonyms import normal_id
from pipeline.standards.xapi import mailbox_identity

XSD = "http://www.imsglobal.org/xsd/"
HOME = "https://northfold.example"
ANN = {"mbox": "mailto:a@northfold.example"}
MATH = 'xmlns="http://www.w3.org/1998/Math/MathML"'


def variable(value: str, name: str = "RESPONSE", base_type: str = "string") -> str:
    return (
        f'<responseVariable identifier="{name}" cardinality="single" baseType="{base_type}">'
        f"<candidateResponse><value>{value}</value></candidateResponse></responseVariable>"
    )


def score(value: float, most: float = 1) -> str:
    return (
        f'<outcomeVariable identifier="SCORE" cardinality="single" baseType="float" '
        f'normalMaximum="{most}"><value>{value}</value></outcomeVariable>'
    )


def template(name: str, value: int) -> str:
    return (
        f'<templateVariable identifier="{name}" cardinality="single" baseType="integer">'
        f"<value>{value}</value></templateVariable>"
    )


def one(item: str, inner: str, at: str = "2026-02-03T10:15:00", status: str = "final") -> str:
    return (
        f'\n<itemResult identifier="{item}" datestamp="{at}" sessionStatus="{status}">{inner}'
        "</itemResult>"
    )


def results(student: str, *items: str, space: str = "imsqti_result_v2p1") -> bytes:
    return (
        f'<assessmentResult xmlns="{XSD}{space}"><context sourcedId="{student}"/>{"".join(items)}'
        "\n</assessmentResult>"
    ).encode()


def zipped(files: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return stream.getvalue()


def test_results_of_a_batch_load_without_a_map_and_the_broken_one_is_told(load: Callable):
    """QTI Results Reporting 2.1, 2.2 and 3.0 in one archive; one file breaks off."""
    good = results("20417", one("root-1", variable("2, -2") + score(1)))
    batch = zipped(
        {
            "a.xml": good,
            "b.xml": results("s-2", one("root-1", variable("2")), space="imsqti_result_v2p2"),
            "c.xml": good[:-60],
            "d.xml": results("s-3", one("quad-1", variable("")), space="imsqti_result_v3p0"),
            "e.xml": results("s-4", one("root-1", variable("2"), status="initial")),
            "f.xml": results("", one("root-1", variable("2"))),
            "readme.html": b"<p>not read</p>",
        }
    )
    found = load({"week 1.zip": batch})

    assert found.errors == {}
    assert found.answers("item", "answer", "score", "points", "source_place") == [
        ("root-1", "2, -2", 1.0, 1.0, "a.xml:2"),
        ("root-1", "2", None, None, "b.xml:2"),
        ("quad-1", "", None, None, "d.xml:2"),
    ]  # fmt: skip
    assert found.counts == {"exports/week 1.zip": (6, 3, 0, 3)}
    left = found.rejected[["source_place", "needs_look", "reason"]].values.tolist()
    assert [(place, look) for place, look, _ in left] == [
        ("c.xml:2:343", True), ("e.xml:2", False), ("f.xml:2", True),
    ]  # fmt: skip
    assert left[0][2].startswith("not well-formed XML")
    assert "sourcedId" in left[2][2]


def test_members_named_after_students_are_not_named(load: Callable):
    """Names of files reach database and pages; a sourcedId may not."""
    batch = zipped(
        {
            "john-doe-1.xml": results("john-doe-1", one("root-1", variable("2"))),
            "mary-roe-2.xml": results("mary-roe-2", one("root-1", variable("2")))[:-9],
        }
    )
    found = load({"week.zip": batch})

    assert found.answers("source_place") == [("member 1:2",)]
    assert found.rejected["source_place"].tolist() == ["member 2:3:11"]
    assert "roe" not in found.rejected.to_csv()


def test_many_files_in_a_folder_are_one_export(load: Callable, monkeypatch: pytest.MonkeyPatch):
    """Tens of thousands of files need not be packed; a broken one is told, others load."""
    monkeypatch.setattr("pipeline.ingest.export_files.MANY_FILES", 3)
    files = {
        f"week1/r{number}.xml": results(f"s-{number}", one("root-1", variable("2")))
        for number in range(5)
    }
    files["week1/r3.xml"] = files["week1/r3.xml"][:-9]
    files["alone.xml"] = results("s-9", one("root-1", variable("2")))
    found = load(files)

    assert found.counts == {"exports/alone.xml": (1, 1, 0, 0), "exports/week1/*.xml": (5, 4, 0, 1)}
    assert found.rejected["source_place"].tolist() == ["r3.xml:3:11"]


def test_loaded_folders_of_files_are_moved_when_the_course_says_so(
    course_of: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr("pipeline.ingest.export_files.MANY_FILES", 3)
    files = {f"w/r{n}.xml": results(f"s-{n}", one("root-1", variable("2"))) for n in range(5)}
    folder = course_of(files, settings='[privacy]\nafter_load = "move"\n')

    assert main(["run", str(folder)]) == 0
    assert sorted(path.name for path in (folder / "loaded" / "w").iterdir()) == [
        f"r{n}.xml" for n in range(5)
    ]  # fmt: skip
    assert main(["run", str(folder)]) == 0


def test_attempts_by_time_and_sittings_beside_each_other(load: Callable):
    """Attempts in no order, one handed in again unchanged; a second sitting counts from 1 again."""

    def numbered(value: str, number: int, at: str) -> str:
        inner = variable(value) + variable(str(number), "numAttempts", "integer")
        return one("root-1", inner, f"2026-02-0{at}:00:00")

    first = results(
        "s-1", numbered("4", 3, "3T12"), numbered("2", 2, "3T11"), numbered("2", 1, "3T10")
    )
    second = results("s-1", numbered("2, -2", 1, "5T09"))
    found = load({"week.zip": zipped({"a.xml": first, "b.xml": second})})

    assert [answer for (answer,) in found.answers("answer")] == ["2", "4", "2, -2"]
    assert found.counts["exports/week.zip"] == (4, 3, 1, 0)
    assert found.stored["answered_at"].is_monotonic_increasing


@pytest.mark.parametrize(
    ("key", "differs"), [("2, -2", False), ("-2, 2", False), ("2", True), ("the roots", True)]
)
def test_a_key_of_the_export_is_held_against_the_list(load: Callable, key: str, differs: bool):
    """QTI Results Reporting 2.1, correctResponse: the key that the delivery engine held."""
    given = variable("2").replace(
        "<candidateResponse>",
        f"<correctResponse><value>{key}</value></correctResponse><candidateResponse>",
    )
    found = load({"a.xml": results("s-1", one("root-1", given), one("other", given))})

    told = [note for note in found.notes if "whose key in the export" in note]
    whose = f"root-1, whose key in the export is {key} and in the list the computed one"
    assert told == [f"answers to {whose}, so that one of the two may be wrong: 1"] * differs


CHOICE = f"""<assessmentItem xmlns="{XSD}imsqti_v2p2" identifier="pick-1" title="Larger">
<responseDeclaration identifier="RESPONSE" cardinality="single" baseType="identifier">
<correctResponse><value>c2</value></correctResponse></responseDeclaration><itemBody>
<choiceInteraction responseIdentifier="RESPONSE" maxChoices="1"><prompt>Which is larger?</prompt>
<simpleChoice identifier="c1">1/3</simpleChoice><simpleChoice identifier="c2"><math {MATH}><mfrac>
<mn>1</mn><mn>2</mn></mfrac></math></simpleChoice></choiceInteraction></itemBody></assessmentItem>
""".encode()
OWN = f"""<assessmentItem xmlns="{XSD}imsqti_v2p1" identifier="own-1" title="Like terms">
<responseDeclaration identifier="RESPONSE" cardinality="single" baseType="string"/>
<templateDeclaration identifier="A" cardinality="single" baseType="integer" mathVariable="true"/>
<templateDeclaration identifier="B" cardinality="single" baseType="integer" mathVariable="true"/>
<itemBody><p>Simplify <math {MATH}><mi>A</mi><mi>x</mi><mo>+</mo><mi>B</mi><mi>x</mi></math>.</p>
<textEntryInteraction responseIdentifier="RESPONSE"/></itemBody></assessmentItem>
""".encode()


def test_options_are_told_by_the_package(load: Callable):
    """Results name options by identifier; the item holds their text."""
    answer = results("s-1", one("pick-1", variable("c2", base_type="identifier")))

    found = load({"a.xml": answer}, {"bank.zip": zipped({"pick.xml": CHOICE})})
    assert found.answers("item", "answer", "place") == [("pick-1", "1/2", "choice")]


def test_an_option_without_its_package_is_told(load: Callable):
    found = load({"a.xml": results("s-1", one("pick-1", variable("c2", base_type="identifier")))})

    assert found.answers("answer") == [("c2",)]
    assert "answers that name an option by its identifier alone" in found.notes[-1]


@pytest.mark.parametrize("listed", ["{A}x + {B}x", "4x + 9x"])
def test_values_of_ones_own_make_a_problem_of_ones_own(load: Callable, listed: str):
    """QTI 2.1 item templates: the key depends on the values that the candidate got."""
    answer = results("s-1", one("own-1", variable("2x") + template("A", 5) + template("B", -3)))
    items = f"item,topic,task,problem\nown-1,like terms,simplify,{listed}\n"
    found = load({"a.xml": answer}, {"own.xml": OWN}, items=items)

    assert found.answers("problem") == [("5x + (-3)x",)]


def test_values_of_ones_own_without_a_text_are_sent_back(load: Callable):
    answer = results("s-1", one("root-1", variable("2x") + template("A", 5)))
    found = load({"a.xml": answer})

    assert found.counts["exports/a.xml"] == (1, 0, 0, 1)
    assert "its text, to put them in, is not here" in found.rejected["reason"].iloc[0]


def test_responses_of_one_question_are_boxes_or_parts(load: Callable):
    """Several responses in one item: joined, unless the list has the parts as questions."""
    two = variable("2", "R1") + variable("4", "R2")
    found = load({"a.xml": results("s-1", one("quad-1", two + score(1)))})
    assert found.answers("item", "answer", "score") == [("quad-1", "2; 4", 1.0)]


def test_parts_that_are_listed_are_questions(load: Callable):
    items = "item,topic,task,problem\nq.R1,t,solve,x = 2\nq.R2,t,solve,x = 4\n"
    two = variable("2", "R1") + variable("4", "R2")
    found = load({"a.xml": results("s-1", one("q", two + score(1)))}, items=items)

    assert found.answers("item", "answer", "score") == [("q.R1", "2", None), ("q.R2", "4", None)]


def statement(response: str, item: str, student: dict[str, Any], **more: Any) -> dict[str, Any]:
    definition = {"interactionType": "fill-in", **more.pop("definition", {})}
    return {
        "id": str(uuid5(NAMESPACE_URL, repr((response, item, student)))),
        "actor": student,
        "verb": {"id": "http://adlnet.gov/expapi/verbs/answered"},
        "object": {"id": item, "definition": definition},
        "result": {"response": response, "duration": "PT12.5S", "success": False},
        "timestamp": "2026-02-03T10:15:00-06:00",
        **more,
    }


@pytest.mark.parametrize("form", ["array", "page", "lines", "packed"])
def test_statements_load_in_every_form(load: Callable, form: str):
    """xAPI 1.0.3 part 2, 2.4.4.1: delimiters go before any mathematics."""
    made = [
        statement(
            "{lang=en}2[,]-2", f"{HOME}/items/root-1", {"mbox": "mailto:a@northfold.example"}
        ),
        statement("3", f"{HOME}/items/quad-1", {"mbox": "mailto:a@northfold.example"}),
    ]
    lines = "\n".join(map(json.dumps, made)).encode()
    files = {
        "array": {"a.json": json.dumps(made).encode()},
        "page": {"a.json": json.dumps({"statements": made, "more": ""}).encode()},
        "lines": {"a.jsonl": lines},
        "packed": {"a.jsonl.gz": gzip.compress(lines)},
    }[form]
    found = load(files)

    assert found.errors == {}
    assert found.answers("item", "answer", "score", "points", "seconds") == [
        ("root-1", "2; -2", 0.0, 1.0, 12.5), ("quad-1", "3", 0.0, 1.0, 12.5),
    ]  # fmt: skip
    assert found.stored["student"].nunique() == 1
    assert str(found.stored["answered_at"].iloc[0]) == "2026-02-03 16:15:00"
    assert any("by the end of their address" in note for note in found.notes)


def test_a_student_is_found_by_address_under_either_form(load: Callable):
    """xAPI part 2, 2.4.2.3: mbox and mbox_sha1sum name one person; `lostroot show` asks by it."""
    digest = mailbox_identity(ANN["mbox"]).partition(":")[2]
    made = [
        statement("2", "root-1", ANN), statement("3", "root-1", {"mbox_sha1sum": digest.upper()}),
        statement("3", "quad-1", {"account": {"homePage": HOME, "name": "7"}}),
    ]  # fmt: skip
    found = load({"a.json": json.dumps(made).encode()})
    first, second, other = (student for (student,) in found.answers("student"))

    assert first == second != other
    assert normal_id(" mailto:a@Northfold.example", fold_case=True) == f"mbox_sha1sum:{digest}"


def test_an_account_that_a_student_types_is_withheld(load: Callable):
    actor = {"account": {"homePage": HOME, "name": "s20417"}}
    found = load({"a.json": json.dumps([statement("s20417 x=2", "root-1", actor)]).encode()})

    assert found.answers("answer") == [("withheld, it names a person",)]


def test_an_end_that_two_addresses_share_names_no_question(load: Callable):
    actor = {"account": {"homePage": HOME, "name": "7"}}
    made = [
        statement("2", f"{HOME}/a/root-1", actor), statement("2", f"{HOME}/b/root-1", actor),
    ]  # fmt: skip
    found = load({"a.json": json.dumps(made).encode()})

    assert [place for (place,) in found.answers("place")] == ["unlisted", "unlisted"]


def test_a_question_may_be_told_by_its_text(load: Callable):
    actor = {"account": {"homePage": HOME, "name": "7"}}
    made = statement("2", f"{HOME}/items/77", actor,
                     definition={"description": {"en": "Solve x^2 = 4."}})  # fmt: skip
    found = load({"a.json": json.dumps(made).encode()})

    assert found.answers("item") == [("root-1",)]


def event(response: str, actor: str, attempt: str = "a1") -> dict[str, Any]:
    return {
        "@context": "http://purl.imsglobal.org/ctx/caliper/v1p2", "id": f"urn:uuid:{attempt}",
        "type": "AssessmentItemEvent", "actor": actor, "action": "Completed",
        "object": f"{HOME}/items/root-1", "eventTime": "2026-02-03T16:15:00.000Z",
        "generated": {"id": f"{HOME}/r/{attempt}", "type": "FillinBlankResponse",
                      "attempt": f"{HOME}/{attempt}", "values": response.split()},
    }  # fmt: skip


def test_events_load_and_an_anonymous_answer_is_nobodys(load: Callable):
    """Caliper 1.2, 4.4 (anonymous agents) and grading by the attempt of the item."""
    grade = {"type": "GradeEvent", "action": "Graded", "object": f"{HOME}/a1",
             "generated": {"type": "Score", "scoreGiven": 0, "maxScore": 1}}  # fmt: skip
    data = [
        event("2", f"{HOME}/users/1"), grade,
        event("2 -2", "http://purl.imsglobal.org/caliper/Person", "a2"),
    ]  # fmt: skip
    envelope = {
        "sensor": HOME,
        "sendTime": "2026-02-03T17:00:00.000Z",
        "dataVersion": "http://purl.imsglobal.org/ctx/caliper/v1p2",
        "data": data,
    }
    found = load({"a.json": json.dumps(envelope).encode()})

    assert found.errors == {}
    assert found.answers("answer", "score", "count") == [("2", 0.0, 1), ("2; -2", None, 1)]
    assert [student is None for (student,) in found.answers("student")] == [False, True]
    assert found.counts["exports/a.json"] == (2, 2, 0, 0)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.xml", CHOICE, "these are questions and no answers"),
        ("a.zip", zipped({"imsmanifest.xml": b"<manifest/>", "i.xml": CHOICE}), "no answers"),
        ("a.xml", b"<html/>", "exports/a.xml:1:1: the root element is <html>"),
        ("a.xml", results("s", one("q", "<b>"))[:-9], "exports/a.xml:2:"),
        ("a.xml", results("s").replace(b"v2p1", b"v1p0"), "is in the namespace"),
        ("a.json", b'[{"verb": {"id": "x"}},\n{"verb" 1}]', "exports/a.json:2:9: not JSON"),
        ("a.xml", b"<!DOCTYPE a [<!ENTITY b 'c'>]><assessmentResult/>", "a document type"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_told_and_the_rest_loads(
    load: Callable, name: str, data: bytes, said: str
):
    found = load({name: data, "z.xml": results("s-1", one("root-1", variable("2")))})

    assert said in found.errors[f"exports/{name}"]
    assert len(found.stored) == 1


def test_check_and_run_take_them_without_a_map(
    course_of: Callable[..., Path], capsys: pytest.CaptureFixture[str]
):
    """A student's way: results, statements and events beside each other, then the pages."""
    names = ("2", "2, -2", "4", "", "16")
    batch = zipped(
        {f"r{number}.xml": results(f"s-{number}", one("root-1", variable(answer)))
         for number, answer in enumerate(names)}
    )  # fmt: skip
    folder = course_of(
        {
            "results.zip": batch,
            "statements.jsonl": json.dumps(
                statement("2", f"{HOME}/root-1", {"mbox": "mailto:b@northfold.example"})
            ).encode(),
            "events.json": json.dumps(event("2", f"{HOME}/users/1")).encode(),
        },
        items="item,topic,task,problem\nroot-1,roots,solve,x^2 = 4\n",
    )

    assert main(["check", str(folder)]) == 0
    assert main(["run", str(folder)]) == 0
    said = capsys.readouterr().out
    assert "7 stored" in said
    assert "b@northfold" not in said
