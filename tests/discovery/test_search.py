"""Where one step done otherwise leads."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pipeline.discovery.language import language, values_of
from pipeline.discovery.search import led_to
from pipeline.exact.numbers import Surd
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.other_steps import OtherStep
from pipeline.procedures.questions import number
from pipeline.reading.answer import read_answer
from pipeline.tasks.catalogue import read_problem, solved

LED = (
    ("discriminant | 2x^2 - 7x + 3 = 0", OtherStep("four_a_c", "", ("a*b",)), "43"),
    ("discriminant | 2x^2 - 7x + 3 = 0", OtherStep("four_a_c", "", ("a + b + 4",)), "40"),
    ("discriminant | 2x^2 - 7x + 3 = 0", OtherStep("square", "", ("-r",)), "-73"),
    ("vertex | 2x^2 - 8x + 3", OtherStep("axis", "", ("-r",)), "(-2, 27)"),
    ("expand | (x + 3)^2", OtherStep("(a + b)^c", "", ("a^c + b^c",)), "x^2 + 9"),
    ("simplify | x^3 * x^4", OtherStep("a^b*c^d", "", ("a^(b*d)",)), "x^12"),
    ("simplify | cbrt(-27)", OtherStep("∛(−a)", "", ("∛a",)), "3"),
    ("simplify | (6x^8)/(2x^2)", OtherStep("a^b/c^d", "", ("a^(b/d)",)), "3x^4"),
    ("simplify | (4x + 6)/2", OtherStep("a/b", "", ("a",)), "4x + 3"),
    ("simplify | (4x + 6)/2", OtherStep("a/b", "", ("a",)), "2x + 6"),
    ("expand | 5(x + 2)", OtherStep("a*b", "", ("a + b",)), "5x + 7"),
    ("expand | 3a^2(a^4 - 2a^3)", OtherStep("a^b*c^d", "", ("(a^b)^d",)), "3a^8 - 6a^6"),
    ("simplify | sqrt(2)*sqrt(5)", OtherStep("sqrt(a)*sqrt(b)", "", ("sqrt(a + b)",)), "sqrt(7)"),
    ("simplify | sqrt(-2)", OtherStep("sqrt(-a)", "", ("sqrt(a*i)",)), "1 + i"),
    (
        "translate | seven more than a number: x + 7",
        OtherStep("a + b", "answer", ("a - b",)),
        "x - 7",
    ),
    ("solve-for | y = 2x + 3 for x", OtherStep("-a", "answer", ("a",)), "x = (y + 3)/2"),
    ("solve-for | y = 2x + 3 for x", OtherStep("-a", "answer", ("a",)), "(y + 3)/2"),
    ("solve | 2x + 3 = 11", OtherStep("write_down", "", ("-r",)), "-4"),
    ("square-constant | x^2 + 10x", OtherStep("", "", ("b*b",)), "100"),
    # a minus is a part of what it stands before, one of two parts is opened alone
    ("expand | (x - 5)(x + 11)", OtherStep("a*b + c", "", ("b*c + a",)), "x^2 - 55x + 6"),
    ("simplify | 7 - 4sqrt(3)", OtherStep("a + b*c", "", ("(a + b)*c",)), "3sqrt(3)"),
    (
        "solve-for | A = (a + b)h/9 for h",
        OtherStep("a*b/c", "answer", ("b/(a*c)",)),
        "A/(9(a + b))",
    ),
    # what makes an expression, a power taken for a product, fractions side by side
    ("simplify | x^(-4)", OtherStep("write_answer", "", ("-r",)), "-1/x^4"),
    ("evaluate | log_3(11)", OtherStep("evaluate_log", "", ("a*b",)), "33"),
    ("evaluate | log_2(7)", OtherStep("evaluate_log", "", ("b^a",)), "49"),
    ("simplify | (7x^5)^3", OtherStep("(a*b)^c", "", ("a*c*b^c",)), "21x^15"),
    ("evaluate | (1/2) * (2/5)", OtherStep("a/b*(c/d)", "", ("(a + c)/(b + d)",)), "3/7"),
)


@pytest.mark.parametrize(("question", "rule", "answer"), LED)
def test_a_rule_leads_to_its_answer(question: str, rule: OtherStep, answer: str) -> None:
    task, _, text = question.partition(" | ")
    problem = read_problem(text, task)
    wanted = comparable_value(read_answer(answer, problem.context).readings[0].value)

    assert rule in led_to(problem, "real")[wanted]
    assert wanted in led_to(problem, "real", rules=[rule])


FOLLOWED = (
    "expand | (x - 5)(x + 11)", "simplify | 3x - 7 + 6x + 12", "simplify | 2(3x - 4) - 5(x + 2)",
    "simplify | (6x^8)/(2x^2)", "evaluate | 3/4 + 2/3 * 6", "discriminant | 2x^2 - 7x + 3 = 0",
    "solve-for | 2x - 3y = 12 for y", "translate | six less than four times a number: 4x - 6",
)  # fmt: skip


@pytest.mark.parametrize("question", FOLLOWED)
def test_what_is_found_is_followed(question: str) -> None:
    """A rule that is written down reads as the one that was found."""
    task, _, text = question.partition(" | ")
    problem = read_problem(text, task)
    found = led_to(problem, "real")
    followed = led_to(problem, "real", rules=set().union(*found.values()))

    assert [end for end, rules in found.items() if not rules <= followed.get(end, set())] == []


@pytest.mark.parametrize("question", sorted({question for question, _, _ in LED}))
def test_no_rule_leads_to_a_right_answer(question: str) -> None:
    task, _, text = question.partition(" | ")
    problem = read_problem(text, task)

    assert not led_to(problem, "real").keys() & solved(problem, "real").endings


def test_formulas_read_as_they_are_worked_out() -> None:
    numbers = (Surd.of(7), Surd.of(Fraction(-3, 5)))
    values = values_of(language("ab"), numbers)
    texts = [one.text.replace("a", "(7)").replace("b", "(-3/5)") for one in language("ab")]
    told = [(text, value) for text, value in zip(texts, values, strict=True) if value is not None]

    assert [number(text) for text, _ in told if "sqrt" not in text] == [
        value for text, value in told if "sqrt" not in text
    ]


def test_a_rule_that_meets_its_own_work_again_ends() -> None:
    rule = OtherStep("a*b", "", ("a*(b + a)",))

    assert led_to(read_problem("3x*5x", "simplify"), "real", rules=[rule])
