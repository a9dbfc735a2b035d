"""What unexplained answers speak for, and where they must stay silent."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import replace
from random import Random

from pipeline.discovery.evidence import Asked, Given, Table, kinds_of, proposals
from pipeline.discovery.search import led_to
from pipeline.exact.numbers import Surd
from pipeline.procedures.other_steps import OtherStep
from pipeline.tasks.catalogue import read_problem

QUADRATICS = ((2, -7, 3), (1, 5, -6), (3, 2, -4), (1, -9, 2), (4, 3, -5), (2, 8, 1), (5, -3, -2))
Answer = Callable[[int, int, int], int]


def _text(a: int, b: int, c: int) -> str:
    return f"{a}x^2 + {b}x + {c} = 0".replace("+ -", "- ")


def asked(answer: Answer | None, students: int = 4, seed: int = 1) -> list[Asked]:
    """Discriminants; some students answer by a rule, others by chance."""
    draw = Random(seed)
    pools: list[dict[Hashable, Given]] = []
    for numbers in QUADRATICS:
        given: dict[Hashable, Given] = {}
        for student in range(5, 9):
            given[frozenset({Surd.of(draw.randint(-60, 90))})] = Given(1, frozenset({student}))
        if answer is not None:
            mine = frozenset({Surd.of(answer(*numbers))})
            given[mine] = Given(students, frozenset(range(students)))
        pools.append(given)
    return [
        Asked("discriminant", _text(*one), "real", "discriminant", pool)
        for one, pool in zip(QUADRATICS, pools, strict=True)
    ]


def test_a_rule_that_students_share_is_proposed() -> None:
    first, *others = proposals(asked(lambda a, b, c: b * b - 3 * a * c))

    assert (first.rule.step, first.answers, first.students) == ("four_a_c", 28, 4)
    assert first.by_noise <= 0.05
    assert others == []


def test_what_is_proposed_tells_the_answers_to_other_questions() -> None:
    (first, *_) = proposals(asked(lambda a, b, c: b * b + a * c))

    unseen = read_problem("6x^2 + 7x + 5 = 0", "discriminant")
    assert led_to(unseen, "real", rules=[first.rule]).keys() == {
        frozenset({Surd.of(7 * 7 + 6 * 5)})
    }


def test_answers_by_chance_are_no_rule() -> None:
    assert [seed for seed in range(8) if proposals(asked(None, seed=seed))] == []


def test_the_same_answer_to_every_question_is_no_rule() -> None:
    assert proposals(asked(lambda _a, _b, _c: 12)) == []


def _also_led_to(questions: list[Asked], known: dict[str, float]) -> list[Asked]:
    """The same questions; what was given most often has other explanations, too."""
    found = []
    for one in questions:
        most = max(one.given, key=lambda ending: one.given[ending].answers)
        given = {**one.given, most: one.given[most]._replace(known=known)}
        found.append(Asked(one.task, one.problem, one.numbers, one.kind, given))
    return found


def test_what_two_errors_lead_to_as_often_as_they_are_met_is_no_new_rule() -> None:
    questions = asked(lambda a, b, c: b * b - 3 * a * c)

    assert proposals(_also_led_to(questions, {"one other": 28})) == []


def test_two_errors_that_are_rarely_met_explain_no_frequent_answer() -> None:
    questions = asked(lambda a, b, c: b * b - 3 * a * c)

    (first,) = proposals(_also_led_to(questions, {"one other": 27}))
    assert first.rule.step == "four_a_c"


def test_an_answer_that_a_known_error_explains_tells_nothing() -> None:
    """A rule that leads there has neither hit nor missed."""
    rule = OtherStep("four_a_c", "", ("a*b",))
    questions = asked(lambda a, b, c: b * b - a * c)
    led = frozenset({Surd.of(QUADRATICS[-1][1] ** 2 - QUADRATICS[-1][0] * QUADRATICS[-1][2])})
    told = [*questions[:-1], replace(questions[-1], given={}, explained=frozenset({led}))]

    table = Table(told, [one.given for one in told])
    assert table.visible[:, table.rules.index(rule)].tolist() == [True] * 6 + [False]


def test_one_student_alone_is_no_class() -> None:
    assert proposals(asked(lambda a, b, c: b * b - 3 * a * c, students=1)) == []


def test_two_questions_are_too_few() -> None:
    assert proposals(asked(lambda a, b, c: b * b - 3 * a * c)[:2]) == []


def test_the_order_of_questions_and_answers_changes_nothing() -> None:
    given = asked(lambda a, b, c: b * b - 3 * a * c)
    turned = [
        Asked(o.task, o.problem, o.numbers, o.kind, dict(reversed([*o.given.items()])))
        for o in reversed(given)
    ]

    assert [(one.rule, one.answers, one.by_noise) for one in proposals(given)] == [
        (one.rule, one.answers, one.by_noise) for one in proposals(turned)
    ]


def test_questions_that_share_most_of_their_ways_are_of_one_kind() -> None:
    usual = frozenset({"factoring", "formula", "square", "square root"})

    ways = [usual, usual | {"sides"}, frozenset({"factoring"}), usual, frozenset({"factoring"})]
    assert kinds_of(ways) == [0, 0, 1, 0, 1]
    assert kinds_of([]) == []
