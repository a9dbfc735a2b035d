"""Whatever a problem's letters can spell is their product, before words, units and functions."""

from __future__ import annotations

import string

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pipeline.exact.trees import Constant
from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tasks.catalogue import read_problem

RIGHT = [
    ("expand", "(n+s)(o+r)", "no + nr + so + sr"),
    ("expand", "(a+b)(s+t)", "as + at + bs + bt"),
    ("expand", "(e+3)(e+2)", "e^2+5e+6"),
    ("expand", "(u+v)(a+b)", "(a)u+(b)u+va+vb"),
    ("simplify", "kg + 2kg", "3kg"),
    ("simplify", "at + bt", "at + bt"),
    ("simplify", "at + 2at", "3at"),
    ("simplify", "2mg + 3mg", "5mg"),
    ("simplify", "or + 2or", "3or"),
    ("simplify", "sin + 2sin", "3sin"),
    ("simplify", "log + 2log", "3log"),
    ("simplify", "2LB + 3LB", "5LB"),
    ("factor", "no + nr + so + sr", "(n+s)(o+r)"),
    ("factor", "ax + ay + bx + by", "(a+b)(x+y)"),
    ("factor", "am + an + bm + bn", "(a+b)(m+n)"),
    ("factor", "mu + mv + nu + nv", "(m+n)(u+v)"),
    ("solve", "Ax + By = C for y", "(C-Ax)/B"),
    ("solve-for", "Ax + By = C for y", "y = (C - Ax)/B"),
    ("solve-for", "if = r for f", "r/i"),
    ("solve-for", "s = ut + 1/2 at^2 for a", "2(s - ut)/t^2"),
    ("solve-for", "s = ut + 1/2 at^2 for u", "s/t - at/2"),
    ("solve-for", "v = v0 + at for t", "(v - v0)/a"),
    ("solve-for", "v = v0 + at for t", r"\frac{v - v_0}{a}"),
    ("solve-for", "A = A0 e^(kt) for t", "ln(A/A0)/k"),
    ("solve-for", "d = rt for t", "d/r"),
    ("expand", "Expand: no(r + s)", "nor + nos"),
    ("expand", "i(n + s)", "in + is"),
    ("expand", "(i+n)(i+k)", "i^2 + ik + in + nk"),
    ("simplify", "ki + 2ki", "3ik"),
    ("factor", "i^2 + 5i + 6", "(i+2)(i+3)"),
    ("expand", "(x+2i)(x-2i)", "x^2 + 4"),
    ("simplify", "(a+bi)(a-bi)", "a^2 + b^2"),
    ("simplify", "2i * 3i", "-6"),
    ("simplify", "(3+2i)(1-i) + i x", "5 - i + ix"),
    ("solve-for", "A = P(1+i)^n for P", "A/(1+i)^n"),
    ("expand", "l(o + n)g", "log + lng"),
    ("expand", "a(n + s)d", "and + asd"),
    ("simplify", "sqrt(at)*sqrt(at)", "at"),
    ("logarithm", "Expand: log(x^2 y)", "2log x + log y"),
    ("expand", "Expand: log(x^2 y)", "2log x + log y"),
    ("expand", "(p+w)(i+k)", "pi + pk + wi + wk"),
    ("factor", "pi + pk + wi + wk", "(p+w)(i+k)"),
    ("factor", "pi + pk + wi + wk", "(k+i)(w+p)"),
    ("simplify", "pir + ip", "ip + pir"),
    ("simplify", "no + oo", "no + o^2"),
    ("simplify", "2inf + inf", "3inf"),
    ("expand", "o(n + o)", "on + oo"),
    ("solve-for", "pi = rt for i", "rt/p"),
    ("solve-for", "Pi = rt for P", "rt/i"),
    ("solve-for", "C = 2pi r for r", "C/(2pi)"),
    ("solve-for", "C = 2pir for r", "C/(2π)"),
    ("solve-for", "S = 2πrh for h", "S/(2pir)"),
    ("evaluate", "pi r^2 at r = 3", "9π"),
    ("solve", "2o > 6", "(3, oo)"),
    ("solve", "2o > 6", "(3, inf)"),
]


@pytest.mark.parametrize(("task", "problem", "answer"), RIGHT)
def test_a_right_answer_that_looks_like_a_word_is_right(
    task: str, problem: str, answer: str
) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM), found


def test_a_letter_with_the_index_zero_is_no_product_with_zero() -> None:
    assert examine(Request("solve-for", "v = v0 + at for t", "v/a")).verdict is Verdict.WRONG


@pytest.mark.parametrize(
    ("task", "problem", "answer", "value"),
    [
        ("solve", "x^2 - 5x + 6 = 0", "2 or 3", "[2, 3]"),
        ("solve", "n^2 - o = 0 for n", "no solution", "NO_SOLUTION"),
        ("solve", "abs(x - 3) = 5", "8, -2", "[8, -2]"),
        ("evaluate", "2x^2 at x = 5", "50", "50"),
        ("evaluate", "15% of 80", "12", "12"),
        ("solve", "2d = 12", "6 ft", "6"),
        ("solve", "o^2 - 5o + 6 = 0", "o=2 or o=3", "[2, 3]"),
        ("solve", "r^2 - 5r + 6 = 0", "r=2 or r=3", "[2, 3]"),
    ],
)
def test_words_stay_words_where_no_formula_stands(
    task: str, problem: str, answer: str, value: str
) -> None:
    assert examine(Request(task, problem, answer)).value == value


@pytest.mark.parametrize(
    "problem",
    [
        "find x if 2x = 4 is true",
        "x by y",
        "solve the riddle",
        "cost of each = 5 apples",
        "area = 24",
    ],
)
def test_prose_is_no_product(problem: str) -> None:
    found = examine(Request("solve" if "=" in problem else "simplify", problem, "3"))

    assert found.verdict is Verdict.NO_KEY
    assert "cannot be read" in (found.reason or "")


@st.composite
def letters(draw: st.DrawFn) -> list[str]:
    """Four different letters, often such as spell constants and words, and in either case."""
    any_letter, spelling = st.sampled_from(string.ascii_letters), st.sampled_from("iIeEoOpPnfFN")
    return draw(st.lists(any_letter | spelling, min_size=4, max_size=4, unique=True))


Case = tuple[str, str, tuple[str, ...], tuple[str, ...]]


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """A task, a problem in one to four letters, right answers to it and wrong ones."""
    a, b, c, d = draw(letters())
    z = "n" if a == "i" else a  # (i + 2)(i + 3) is a number
    y = next(one for one in (b, c, d) if one not in ("i", z))  # and so is i in a + i = 6
    m, n = draw(st.integers(2, 9)), draw(st.integers(2, 9))
    run = "".join((a, b, c, d)[: draw(st.integers(1, 4))])
    shapes: list[Case] = [
        ("expand", f"({a}+{b})({c}+{d})",
         (f"{a}{c} + {a}{d} + {b}{c} + {b}{d}", f"{c}{a}+{d}{a}+{c}{b}+{d}{b}"),
         (f"{a}{c} + {b}{d}", f"{a}{c} + {a}{d} + {b}{c}")),
        ("expand", f"({z}+{m})({z}+{n})",
         (f"{z}^2+{m + n}{z}+{m * n}", f"{m * n}+{m + n}{z}+{z}^2"),
         (f"{z}^2+{m * n}", f"{z}^2+{m * n}{z}+{m + n}") if m + n != m * n else ()),
        ("simplify", f"{run} + {m}{run}", (f"{m + 1}{run}", f"{m + 1}{run[::-1]}"), (f"{m}{run}",)),
        ("simplify", f"{m}{run} + {n}{run}", (f"{m + n}{run}",), (f"{m * n + m + n}{run}",)),
        ("factor", f"{a}{c} + {a}{d} + {b}{c} + {b}{d}", (f"({a}+{b})({c}+{d})",),
         (f"({a}+{c})({b}+{d})",)),
        ("solve-for", f"{a}{b} + {c} = {d} for {b}", (f"({d}-{c})/{a}", f"{b} = ({d} - {c})/{a}"),
         (f"({d}+{c})/{a}", f"({d}-{c}){a}")),
        ("expand", f"({a}+{b})({a}+{c})",
         (f"{a}^2 + {a}{c} + {b}{a} + {b}{c}", rf"{a}^{{2}}+{a} {c}+{a} {b}+{b} {c}"),
         (f"{a}^2 + {b}{c}",)),
        ("solve", f"{a}{b} + {c} > {d} for {c}", (f"{c} > {d} - {a}{b}", f"{d}-{b}{a} < {c}"),
         (f"{c} < {d} - {a}{b}", f"{c} > {d} + {a}{b}")),
        ("solve-for", f"{a} = {b}{c}^{m} for {b}", (f"{a}/{c}^{m}", rf"\frac{{{a}}}{{{c}^{m}}}"),
         (f"{a}{c}^{m}",)),
        ("solve", f"{z} + {y} = {m + 2 * n}; {z} - {y} = {m}",
         (f"{z} = {m + n}, {y} = {n}", f"{y} = {n} and {z} = {m + n}"),
         (f"{z} = {n}, {y} = {m + n}",)),
        ("solve-for", f"{a} = {b}{c}{d} for {c}", (f"{a}/({b}{d})", f"{c} = {a}/({d}{b})"),
         (f"{a}{b}{d}",)),
    ]  # fmt: skip
    return draw(st.sampled_from(shapes))


@given(cases())
@settings(max_examples=100)
def test_no_right_answer_in_any_letters_is_tagged_or_wrong(case: Case) -> None:
    task, problem, right, wrong = case
    read = read_problem(problem, task)
    assume(repr(Constant("pi")) not in repr(read))  # `pi + 2pi` is of the number

    for answer in right:
        found = examine(Request(task, problem, answer))
        assert found.verdict is Verdict.RIGHT, (problem, answer, found)
        assert found.patterns == ()
    for answer in wrong:
        found = examine(Request(task, problem, answer))
        assert found.verdict in (Verdict.WRONG, Verdict.RIGHT_IF_MEANT), (problem, answer, found)
