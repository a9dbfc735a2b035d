"""Questions out of QTI items; the sources are the 1EdTech information models named at each test.

All sample items are our own.
"""

from __future__ import annotations

import io

import pytest

from pipeline.errors import InputError
from pipeline.standards import Accepted, QtiItem, read_qti_items, read_qti_package
from pipeline.tasks.catalogue import read_problem

XSD = "http://www.imsglobal.org/xsd/"
SPACES = {"2.1": f"{XSD}imsqti_v2p1", "2.2": f"{XSD}imsqti_v2p2"}
MATHML = "http://www.w3.org/1998/Math/MathML"
QUADRATIC = (
    f'<m:math xmlns:m="{MATHML}"><m:semantics><m:mrow>'
    "<m:msup><m:mi>x</m:mi><m:mn>2</m:mn></m:msup><m:mo>−</m:mo><m:mn>6</m:mn><m:mi>x</m:mi>"
    "<m:mo>+</m:mo><m:mn>8</m:mn><m:mo>=</m:mo><m:mn>0</m:mn></m:mrow>"
    '<m:annotation encoding="application/x-tex">x^2-6x+8=0</m:annotation></m:semantics></m:math>'
)


def item(body: str, declarations: str = "", processing: str = "", version: str = "2.1") -> bytes:
    """An item of QTI 2.1 or 2.2."""
    return (
        f'<?xml version="1.0"?>\n<assessmentItem xmlns="{SPACES[version]}" identifier="quad-1" '
        f'title="Roots" adaptive="false" timeDependent="false">{declarations}'
        f"<itemBody>{body}</itemBody>{processing}</assessmentItem>"
    ).encode()


def third(body: str, declarations: str = "") -> bytes:
    """An item of QTI 3.0."""
    return (
        f'<qti-assessment-item xmlns="{XSD}imsqtiasi_v3p0" identifier="quad-1" title="Roots" '
        f'adaptive="false" time-dependent="false">{declarations}'
        f"<qti-item-body>{body}</qti-item-body></qti-assessment-item>"
    ).encode()


def declared(inner: str, cardinality: str = "single", base_type: str = "string") -> str:
    return (
        f'<responseDeclaration identifier="RESPONSE" cardinality="{cardinality}" '
        f'baseType="{base_type}">{inner}</responseDeclaration>'
    )


def read(data: bytes) -> QtiItem:
    (found,) = read_qti_items(io.BytesIO(data), "items.xml")
    return found


BOX = '<p>x = <textEntryInteraction responseIdentifier="RESPONSE" expectedLength="9"/></p>'
BOX3 = '<p>x = <qti-text-entry-interaction response-identifier="RESPONSE"/></p>'


@pytest.mark.parametrize("version", ["2.1", "2.2", "3.0"])
def test_an_item_has_the_same_text_in_every_version(version: str):
    """QTI 2.1 ASI 7.4 (itemBody), QTI 3.0 ASI 7.6: the names differ, the body does not."""
    question = f"<p>Solve {QUADRATIC}.</p>"
    data = third(question + BOX3) if version == "3.0" else item(question + BOX, version=version)
    found = read(data)

    assert (found.version, found.title) == (version, "Roots")
    assert found.body == "Solve x^2 - 6x + 8=0.\nx = ____"
    assert [one.kind for one in found.interactions] == ["text entry"]


@pytest.mark.parametrize(
    ("mathml", "typed"),
    [
        ("<mfrac><mn>1</mn><mn>2</mn></mfrac><mi>x</mi><mo>=</mo><mn>3</mn>", "(1/2)x=3"),
        ("<msqrt><mi>x</mi><mo>+</mo><mn>1</mn></msqrt><mo>=</mo><mn>3</mn>", "sqrt(x + 1)=3"),
        ("<mroot><mi>x</mi><mn>3</mn></mroot><mo>=</mo><mn>2</mn>", "cbrt(x)=2"),
        (
            "<mfrac><mrow><mi>x</mi><mo>+</mo><mn>1</mn></mrow><mn>2</mn></mfrac>"
            "<mo>=</mo><mn>4</mn>",
            "(x + 1)/2=4",
        ),
        (
            "<msup><mrow><mo>(</mo><mi>x</mi><mo>+</mo><mn>3</mn><mo>)</mo></mrow><mn>2</mn></msup>"
            "<mo>=</mo><mn>5</mn>",
            "(x + 3)^2=5",
        ),
    ],
)
def test_mathml_is_typed_notation_that_the_reader_reads(mathml: str, typed: str):
    """MathML 3, chapter 3: mfrac, msqrt, mroot(base, index), msup."""
    found = read(item(f'<p><math xmlns="{MATHML}">{mathml}</math></p>'))

    assert found.body == typed
    assert read_problem(found.body) is not None


def test_options_keep_their_identifiers_and_show_their_mathematics():
    """QTI 2.1 ASI 7.4.1 (choiceInteraction); maxChoices 1 and cardinality single: one of them."""
    body = (
        '<choiceInteraction responseIdentifier="RESPONSE" maxChoices="1"><prompt>Pick.</prompt>'
        f'<simpleChoice identifier="A"><math xmlns="{MATHML}"><mfrac><mn>1</mn><mn>2</mn></mfrac>'
        '</math></simpleChoice><simpleChoice identifier="B">1/3'
        '<feedbackInline outcomeIdentifier="F" identifier="B" showHide="show">No.</feedbackInline>'
        "</simpleChoice></choiceInteraction>"
    )
    key = "<correctResponse><value>A</value></correctResponse>"
    found = read(item(body, declared(key, base_type="identifier")))
    (one,) = found.interactions

    assert found.body == "Pick."
    assert (one.kind, one.key, one.key_texts) == ("choice", ("A",), ("1/2",))
    assert [(each.identifier, each.text) for each in one.options] == [("A", "1/2"), ("B", "1/3")]


def test_several_options_count_together():
    """QTI 2.1 ASI 5.7: cardinality multiple; a mapping of options sums, so none counts alone."""
    body = (
        '<choiceInteraction responseIdentifier="RESPONSE" maxChoices="0">'
        '<simpleChoice identifier="A">2</simpleChoice><simpleChoice identifier="B">3</simpleChoice>'
        "</choiceInteraction>"
    )
    key = (
        "<correctResponse><value>A</value><value>B</value></correctResponse>"
        '<mapping><mapEntry mapKey="A" mappedValue="1"/><mapEntry mapKey="B" mappedValue="1"/>'
        "</mapping>"
    )
    (one,) = read(item(body, declared(key, "multiple", "identifier"))).interactions

    assert (one.kind, one.key, one.accepted) == ("several", ("A", "B"), ())


def test_a_mapping_gives_alternatives_with_part_credit():
    """QTI 2.1 ASI 5.5 (mapping): each entry's mappedValue, here as a share of the best one."""
    key = (
        '<mapping defaultValue="0"><mapEntry mapKey="2, 4" mappedValue="2"/>'
        '<mapEntry mapKey="2" mappedValue="1" caseSensitive="false"/>'
        '<mapEntry mapKey="-2" mappedValue="-1"/></mapping>'
    )
    (one,) = read(item(BOX, declared(key))).interactions

    assert one.key == ("2, 4",)
    assert one.accepted == (Accepted("2, 4", 1.0), Accepted("2", 0.5, case_matters=False))


def rule(condition: str, score: str = "1") -> str:
    return (
        f"<responseProcessing><responseCondition><responseIf>{condition}"
        f'<setOutcomeValue identifier="SCORE"><baseValue baseType="float">{score}</baseValue>'
        "</setOutcomeValue></responseIf></responseCondition></responseProcessing>"
    )


VARIABLE = '<variable identifier="RESPONSE"/>'
FIXED = '<baseValue baseType="integer">42</baseValue>'


@pytest.mark.parametrize(
    ("condition", "key", "tolerance"),
    [
        (f"<match>{VARIABLE}{FIXED}</match>", ("42",), ""),
        (f"<equal toleranceMode='exact'>{FIXED}{VARIABLE}</equal>", ("42",), ""),
        (
            f"<equal toleranceMode='relative' tolerance='5.0 5.0'>{VARIABLE}{FIXED}</equal>",
            ("42",),
            "relative 5.0 5.0",
        ),
        (f"<stringMatch caseSensitive='false'>{VARIABLE}{FIXED}</stringMatch>", ("42",), ""),
        # Not told, rather than guessed: a pattern, a range, a part of a text, a negation.
        (f"<patternMatch pattern='4.'>{VARIABLE}</patternMatch>", (), ""),
        (f"<and><gte>{VARIABLE}{FIXED}</gte><lte>{VARIABLE}{FIXED}</lte></and>", (), ""),
        (f"<stringMatch substring='true'>{VARIABLE}{FIXED}</stringMatch>", (), ""),
        (f"<not><match>{VARIABLE}{FIXED}</match></not>", (), ""),
    ],
)
def test_a_key_that_stands_only_in_the_rules(condition: str, key: tuple[str, ...], tolerance: str):
    """QTI 2.1 ASI 9 and 15: response conditions with match, equal and stringMatch."""
    (one,) = read(item(BOX, declared(""), rule(condition))).interactions

    assert (one.key, one.tolerance) == (key, tolerance)
    assert bool(one.why_no_key) == (not key)


def test_several_responses_each_have_a_key():
    """QTI 2.1 ASI 5: one declaration a response; `and` of a comparison for each."""
    body = (
        '<p><textEntryInteraction responseIdentifier="R1"/> or '
        '<textEntryInteraction responseIdentifier="R2"/></p>'
    )
    declarations = "".join(
        f'<responseDeclaration identifier="{name}" cardinality="single" baseType="string"/>'
        for name in ("R1", "R2")
    )
    both = "".join(
        f'<match><variable identifier="{name}"/><baseValue baseType="string">{value}</baseValue>'
        "</match>"
        for name, value in (("R1", "2"), ("R2", "4"))
    )
    found = read(item(body, declarations, rule(f"<and>{both}</and>")))

    assert found.body == "____ or ____"
    assert [(one.response, one.key) for one in found.interactions] == [
        ("R1", ("2",)), ("R2", ("4",)),
    ]  # fmt: skip


TEMPLATES = (
    '<templateDeclaration identifier="A" cardinality="single" baseType="integer" '
    'mathVariable="true"/>'
    '<templateDeclaration identifier="B" cardinality="single" baseType="integer"/>'
)


def test_template_variables_are_filled_in_where_they_are_printed():
    """QTI 2.1 ASI 6 (item templates): printedVariable, and mi with mathVariable."""
    body = (
        f'<p>Expand <math xmlns="{MATHML}"><mi>A</mi><mi>x</mi></math>'
        '(x + <printedVariable identifier="B"/>)</p>' + BOX
    )
    found = read(item(body, declared("") + TEMPLATES))

    assert found.templates == ("A", "B")
    assert found.filled({"A": "3", "B": "-5"}) == "Expand 3x (x + (-5))\nx = ____"
    assert found.filled({"A": "3"}) is None
    assert "each candidate" in found.interactions[0].why_no_key


def test_braces_of_tex_are_no_template_variables():
    found = read(item(r"<p>\(\frac{1}{2}x = {A}\)</p>", TEMPLATES))

    assert found.filled({"A": "3", "B": "1"}) == r"\(\frac{1}{2}x = 3\)"


def test_what_cannot_be_taken_is_said():
    found = read(item('<p>Look: <img src="p.png" alt="a parabola"/></p>'))

    assert (found.body, found.not_taken) == ("Look: [a parabola]", ("it shows a picture",))


CLASSIC = b"""<questestinterop><assessment ident="a"><section ident="s">
<item ident="i1" title="One"><presentation><material>
<mattext texttype="text/html">&lt;p&gt;Solve x&lt;sup&gt;2&lt;/sup&gt; = 4&lt;/p&gt;</mattext>
</material><response_lid ident="R" rcardinality="Single"><render_choice>
<response_label ident="A"><material><mattext>2 or -2</mattext></material></response_label>
<response_label ident="B"><material><mattext>2</mattext></material></response_label>
</render_choice></response_lid></presentation><resprocessing><respcondition><conditionvar>
<varequal respident="R">A</varequal></conditionvar><setvar action="Set">100</setvar>
</respcondition></resprocessing></item>
<item ident="i2" title="Two"><presentation><material><mattext>3 + 4 = </mattext></material>
<response_str ident="R"><render_fib/></response_str></presentation><resprocessing><respcondition>
<conditionvar><or><varequal respident="R" case="No">7</varequal>
<varequal respident="R">seven</varequal></or></conditionvar><setvar>100</setvar></respcondition>
<respcondition><conditionvar><varequal respident="R">12</varequal></conditionvar>
<setvar>50</setvar></respcondition></resprocessing></item></section></assessment></questestinterop>
"""


def test_classic_items():
    """QTI 1.2 ASI Information Model: presentation, response_lid, response_str, respcondition."""
    first, second = read_qti_items(io.BytesIO(CLASSIC), "bank.xml")

    assert (first.identifier, first.body) == ("i1", "Solve x^2 = 4")
    assert first.interactions[0].key_texts == ("2 or -2",)
    assert second.body == "3 + 4 =\n____"
    assert second.interactions[0].accepted == (
        Accepted("7", 1.0, case_matters=False), Accepted("seven"), Accepted("12", 0.5),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"<a><b></a>", "items.xml:1:11: not well-formed XML"),
        (b"", "items.xml:1:1: not well-formed XML (no element found)"),
        (b"no xml", "items.xml:1:1: not well-formed XML"),
        (b"<html/>", "items.xml:1:1: the root element is <html>; expected a QTI item"),
        (b'<assessmentItem xmlns="urn:x"/>', "is in the namespace urn:x; expected"),
        (
            b'<?xml version="1.0"?>\n<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>',
            "items.xml:2:1: declares a document type",
        ),
        (
            '<!DOCTYPE a SYSTEM "file:///etc/passwd"><a/>'.encode("utf-16"),
            "declares a document type",
        ),
        (b"<a>" * 150 + b"</a>" * 150, "more than 100 elements inside each other"),
        (b"<a>" * 3000, "more than 100 elements inside each other"),
        (b'<a b="' + b"c" * 2_000_000 + b'"/>', "an attribute of more than 1,048,576 characters"),
        (b"<a>" + b"c" * 2_000_000 + b"</a>", "a text of more than 1,048,576 characters"),
        (item("<p>&nope;</p>"), "not well-formed XML (Entity 'nope' not defined"),
    ],
    ids=lambda value: str(value)[:40],
)
def test_what_is_broken_or_hostile_is_refused_with_its_place(data: bytes, said: str):
    """XML 1.0 (2008) 2.8 and 4: no document type, so no entity and no external reference."""
    with pytest.raises(InputError) as refused:
        read_qti_items(io.BytesIO(data), "items.xml")

    assert said in str(refused.value)


MANIFEST = b"""<manifest xmlns="http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"><resources>
<resource identifier="r2" type="imsqti_item_xmlv2p1" href="items/b.xml"><file href="items/b.xml"/>
</resource><resource identifier="r1" type="imsqti_item_xmlv2p1" href="items/a.xml"><metadata>
<curriculumStandardsMetadataSet xmlns="http://www.imsglobal.org/xsd/qti/qtiv3p0/imscsmd_v1p1">
<curriculumStandardsMetadata><setOfGUIDs><labelledGUID><label>A.1</label>
<GUID>6f2c1a5e-0d3b-5c4d-9e8f-112233445566</GUID></labelledGUID></setOfGUIDs>
</curriculumStandardsMetadata></curriculumStandardsMetadataSet></metadata></resource>
<resource identifier="r3" href="../outside.xml"/></resources></manifest>"""
TEST = (
    f'<assessmentTest xmlns="{SPACES["2.1"]}" identifier="t"><testPart><assessmentSection>'
    '<assessmentItemRef identifier="q7" href="items/a.xml"/></assessmentSection></testPart>'
    "</assessmentTest>"
).encode()


def test_a_package_has_its_order_its_outcomes_and_the_names_of_its_tests():
    """Content Packaging 1.1.4 manifest; QTI 2.1 ASI 4 (assessmentItemRef); CASE labelledGUID."""
    files = {
        "imsmanifest.xml": MANIFEST, "test.xml": TEST, "items/a.xml": item(BOX),
        "items/b.xml": CLASSIC, "items/c.xml": b"<assessmentItem>", "notes.txt": b"",
    }  # fmt: skip
    members = [(name, lambda data=data: io.BytesIO(data)) for name, data in files.items()]
    package = read_qti_package(members, "bank.zip")

    assert [one.identifier for one in package.items] == ["i1", "i2", "quad-1"]
    assert package.named()["q7"].identifier == "quad-1"
    assert package.items[2].outcomes == ("6f2c1a5e-0d3b-5c4d-9e8f-112233445566",)
    assert [one[:27] for one in package.not_read] == ["bank.zip/items/c.xml:1:17: "]
