"""Questions of the other places: judged by a key, chosen from a list, not read, not listed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from synthetic_data.problems import Problem, make_problem
from synthetic_data.questions import Place, Question
from synthetic_data.surds import pair
from synthetic_data.values import Typed, Value, roots
from synthetic_data.wrong_rules.linear import linear_two_steps


def _plain(text: str, *right: str, wrong: Mapping[str, str] | None = None) -> Problem:
    given: dict[str, Value | tuple[Value, ...]] = {
        pattern: Typed((answer,)) for pattern, answer in (wrong or {}).items()
    }
    return make_problem("judge", text, Typed(right), given)


def _judged(places: Mapping[str, Place]) -> list[Question]:
    line = _plain("Line of slope 2 through (0, 1)", "y = 2x + 1", "y=2x+1", "y = 1 + 2x")
    domain = _plain("Domain of sqrt(x - 2), as an interval", "[2, oo)", "[2,oo)")
    count = _plain("How many real solutions has x^2 - 6x + 9 = 0?", "1", "1 ", "one")
    axis = _plain("Axis of y = (x - 3)^2 + 2", "x = 3", "x=3")
    facts = (
        ("linear-equations", "J1", line, "y = 2x + 1", "P"),
        ("radicals", "J1", domain, "[2, oo)", "Q"),
        ("discriminant", "J1", count, "1", "Q"),
        ("vertex", "J1", axis, "x = 3", "P"),
    )
    return [
        replace(
            places[topic].question(place, (problem,), task="judge", answer=key),
            id=f"{places[topic].prefix}-{code}",
        )
        for topic, code, problem, key, place in facts
    ]


_CHOICES = (
    (
        "zero-product",
        "Solve (x - 4)(x + 9) = 0",
        "x = 4 or x = -9",
        {"root-takes-factor-sign": "x = -4 or x = 9", "second-root-left-out": "x = 4"},
        ("x = 36",),
    ),
    (
        "expanding",
        "Expand (x + 6)^2",
        "x^2 + 12x + 36",
        {"square-spread-over-sum": "x^2 + 36", "middle-term-not-doubled": "x^2 + 6x + 36"},
        ("2x + 6",),
    ),
    (
        "vertex",
        "Vertex of y = 2(x - 8)^2 + 2",
        "(8, 2)",
        {"vertex-sign-kept": "(-8, 2)"},
        ("(2, 8)", "(8, -2)"),
    ),
)


def _chosen(places: Mapping[str, Place]) -> list[Question]:
    made = []
    for topic, text, right, wrong, others in _CHOICES:
        options = (right, *wrong.values(), *others)
        problem = replace(_plain(text, right, wrong=wrong), options=options)
        question = places[topic].question(
            "R", (problem,), task="choice", answer=right, options=options
        )
        made.append(replace(question, id=f"{places[topic].prefix}-C1"))
    return made


def _unread(places: Mapping[str, Place]) -> list[Question]:
    graph = _plain("Sketch y = (x - 3)^2 + 2 and upload a picture", "graph.png", "IMG_0042.jpg")
    essay = _plain(
        "In your own words: why can a product be zero?",
        "because one of the factors has to be zero",
        "if you multiply by zero you get zero, so one bracket is zero",
    )
    place = places["zero-product"]
    sketch = places["vertex"].question("P", (graph,), task="skip")
    why = place.question("P", (essay,), task="skip")
    bonus = place.question("P", (_plain("Bonus question", "7", "14", "-2"),), listed=False)
    poll = places["radicals"].question("P", (_plain("Poll", "yes", "no"),), listed=False)
    return [
        replace(sketch, id="VTX-S1"),
        replace(why, id="ZPP-S1"),
        replace(bonus, id="BONUS-10"),
        replace(poll, id="POLL-5"),
    ]


def _changed(places: Mapping[str, Place]) -> list[Question]:
    """A question whose numbers were changed between the terms."""
    place = places["linear-equations"]
    question = place.question("R", (linear_two_steps(4, -10, -13),))
    later = replace(question, id="LIN-R3", problems=(linear_two_steps(4, -10, -17),))
    return [replace(question, id="LIN-R3", later=later)]


def _story(places: Mapping[str, Place]) -> list[Question]:
    """A word problem: the equation behind it, and which solution its story keeps."""
    wrong: dict[str, Value | tuple[Value, ...]] = {
        "zero-product-with-nonzero": roots(96, 92),
    }
    sides = make_problem("solve", "x(x + 4) = 96", roots(8), wrong)
    area = make_problem("solve", "x^2 + 6x = 11", roots(pair(-3, 20)[0]), {})
    place = places["zero-product"]
    return [
        replace(
            place.question("R", (sides,), keep="x > 0", answer="8", method="factoring"), id="ZPP-W1"
        ),
        replace(
            places["completing-the-square"].question(
                "R", (area,), keep="x > 0", answer="-3 + 2sqrt(5)", method="complete-square"
            ),
            id="CSQ-W1",
        ),
    ]


def other_questions(places: Mapping[str, Place]) -> list[Question]:
    """All of them; `places` says in which week each topic is practised."""
    return [
        *_judged(places),
        *_chosen(places),
        *_unread(places),
        *_changed(places),
        *_story(places),
    ]
