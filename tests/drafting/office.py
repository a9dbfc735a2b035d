"""Word files of exercises, their equations written as Office mathematics."""

from __future__ import annotations

from pathlib import Path

from docx import Document
from docx.oxml import parse_xml
from docx.text.paragraph import Paragraph

M = "http://schemas.openxmlformats.org/officeDocument/2006/math"


def run(text: str) -> str:
    escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return f'<m:r><m:t xml:space="preserve">{escaped}</m:t></m:r>'


def over(upper: str, lower: str) -> str:
    return f"<m:f><m:num>{upper}</m:num><m:den>{lower}</m:den></m:f>"


def up(base: str, raised: str) -> str:
    return f"<m:sSup><m:e>{base}</m:e><m:sup>{raised}</m:sup></m:sSup>"


def low(base: str, index: str) -> str:
    return f"<m:sSub><m:e>{base}</m:e><m:sub>{index}</m:sub></m:sSub>"


def root(inner: str, degree: str = "") -> str:
    hide = "" if degree else '<m:radPr><m:degHide m:val="1"/></m:radPr>'
    return f"<m:rad>{hide}<m:deg>{degree}</m:deg><m:e>{inner}</m:e></m:rad>"


def fenced(inner: str, begin: str = "(", end: str = ")") -> str:
    sides = f'<m:dPr><m:begChr m:val="{begin}"/><m:endChr m:val="{end}"/></m:dPr>'
    return f"<m:d>{sides}<m:e>{inner}</m:e></m:d>"


def call(name: str, inner: str) -> str:
    return f"<m:func><m:fName>{name}</m:fName><m:e>{inner}</m:e></m:func>"


def system(*lines: str) -> str:
    rows = "".join(f"<m:e>{line}</m:e>" for line in lines)
    return fenced(f"<m:eqArr>{rows}</m:eqArr>", "{", "")


def equation(inner: str) -> object:
    return parse_xml(f'<m:oMath xmlns:m="{M}">{inner}</m:oMath>')


def add(paragraph: Paragraph, *parts: str) -> None:
    """Text, and equations: what begins with `<m:`."""
    for part in parts:
        if part.startswith("<m:"):
            paragraph._p.append(equation(part))
        else:
            paragraph.add_run(part)


def exercises(path: Path) -> None:
    """Twenty-five exercises in groups, numbered in three ways, one of them a picture."""
    x2, x3 = up(run("x"), run("2")), up(run("x"), run("3"))
    document = Document()
    document.add_heading("Practice for the midterm", 0)
    document.add_heading("Quadratic equations", 1)
    add(document.add_paragraph(), "Solve each equation.")
    for number, parts in enumerate(
        (
            (x2 + run("-7x+12=0"),),
            (run("2") + x2 + run("+3x=5"),),
            (up(fenced(run("x-3")), run("2")) + run("=16"),),
            (over(run("x"), run("3")) + run("+") + over(run("x"), run("4")) + run("=7"),),
            (root(run("3x+1")) + run("=5"),),
            (fenced(run("2x-5"), "|", "|") + run("=9"),),
        ),
        1,
    ):
        add(document.add_paragraph(), f"{number}. ", *parts)
    add(document.add_paragraph(), "7. Solve by completing the square: ", x2 + run("+8x+3=0"))
    add(
        document.add_paragraph(),
        "8. Use the quadratic formula to solve ",
        run("3") + x2 + run("-4x-2=0"),
        ".",
    )
    add(document.add_paragraph(), "9. How many real solutions does ", x2 + run("+2x+5=0"), " have?")
    document.add_heading("Factoring", 1)
    add(document.add_paragraph(), "Factor completely.")
    for parts in ((x2 + run("+11x+24"),), (run("3") + x2 + run("-27"),), (x3 + run("-8"),)):
        add(document.add_paragraph(style="List Number"), *parts)
    document.add_heading("Expressions", 1)
    add(document.add_paragraph(), "13) Simplify ", root(run("72")), ".")
    add(document.add_paragraph(), "14) Multiply: ", fenced(run("x+4")) + fenced(run("x-9")))
    add(
        document.add_paragraph(),
        "15) Evaluate ",
        run("2") + x2 + run("-5x+1"),
        " when ",
        run("x=-3"),
        ".",
    )
    add(document.add_paragraph(), "16) Evaluate ", call(low(run("log"), run("3")), run("81")))
    add(document.add_paragraph(), "17) Simplify ", over(x2 + run("-16"), run("x+4")))
    add(
        document.add_paragraph(),
        "18. Let ",
        run("f") + fenced(run("x")) + run("=3") + x2 + run("-4"),
        ".",
    )
    add(document.add_paragraph(), "a) Find ", run("f") + fenced(run("-2")))
    add(document.add_paragraph(), "b) State the domain of ", over(run("1"), run("x-6")))
    add(document.add_paragraph(), "19. Solve the system: ", system(run("2x+y=7"), run("x-y=2")))
    add(
        document.add_paragraph(),
        "20. Which of the following are the solutions of ",
        x2 + run("=25"),
        "?",
    )
    for letter, text in zip("ABC", ("5", "5 or -5", "25"), strict=True):
        add(document.add_paragraph(), f"{letter}. {text}")
    add(document.add_paragraph(), "21. Solve the equation in the picture.")
    drawing = document.paragraphs[-1].add_run()
    drawing._r.append(
        parse_xml(
            '<w:drawing xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"/>'
        )
    )
    add(document.add_paragraph(), "22. Graph ", run("y=2x-3"), ".")
    table = document.add_table(rows=2, cols=2)
    for row, (number, parts) in zip(
        table.rows,
        (
            ("23", ("Find the vertex of ", run("y=") + x2 + run("-8x+3"))),
            ("24", ("Write ", over(run("7"), run("8")), " as a decimal.")),
        ),
        strict=True,
    ):
        row.cells[0].text = number
        add(row.cells[1].paragraphs[0], *parts)
    document.save(str(path))
