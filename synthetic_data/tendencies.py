"""How common each wrong rule is, in whom, and what the lessons change.

On one question a student with tendency g and weakness a follows wrong rule k with chance
`m_k * kept * g_k * a`, where m_k is the rule's usual rate, `kept` what the lessons so far have left
of it, and g_k and a have mean 1 over the students. So the rule's expected rate is `m_k * kept`,
but for the few students whose chances would add up to more than the limit.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from synthetic_data.calendar import CLINICS
from synthetic_data.problems import Problem
from synthetic_data.stray_answers import coarse_spellings

Floats = NDArray[np.float64]

# usual share of first tries that follow the rule, among the questions that can show it
_RULES = {
    "square-spread-over-sum": 0.12, "plus-minus-dropped": 0.09, "vertex-sign-kept": 0.12,
    "root-takes-factor-sign": 0.09, "half-not-squared": 0.08, "multiplied-first-term-only": 0.09,
    "fractions-added-across": 0.12, "exponents-multiplied-in-product": 0.10,
    "minus-b-not-negated": 0.06, "constant-moved-same-sign": 0.08,
    "divided-without-inverting": 0.09, "four-ac-added": 0.06, "second-root-left-out": 0.06,
    "square-factor-left-unrooted": 0.06, "exponents-added-in-power": 0.08,
    "middle-term-not-doubled": 0.06, "factor-signs-swapped": 0.07, "divided-upside-down": 0.05,
    "shift-moved-same-sign": 0.05, "square-added-to-one-side": 0.06, "only-root-divided": 0.05,
    "zero-product-with-nonzero": 0.15, "unknown-terms-added": 0.06, "coefficient-subtracted": 0.03,
    "divided-one-term-only": 0.05, "coefficient-not-squared": 0.04, "square-means-double": 0.02,
    "square-keeps-minus": 0.05, "first-and-last-only": 0.12, "minus-not-carried-through": 0.08,
    "coefficient-left-out-of-power": 0.12, "exponents-divided-in-quotient": 0.09,
    "negative-exponent-as-negative": 0.14, "zero-exponent-as-zero": 0.11,
    "radical-inside-outside-swapped": 0.03, "halved-instead-of-rooted": 0.03,
    "roots-added-under-one-root": 0.10, "rooted-term-by-term": 0.09,
    "wrong-fraction-inverted": 0.05,
    "factor-pair-misses-sum": 0.05, "difference-of-squares-as-square": 0.09,
    "sum-of-squares-factored": 0.25, "common-factor-lost": 0.15, "root-ignores-coefficient": 0.06,
    "root-upside-down": 0.03, "called-no-solution": 0.02, "divided-out-unknown": 0.22,
    "square-undone-without-root": 0.03, "root-of-fraction-top-only": 0.03,
    "negative-radicand-made-positive": 0.10, "rooted-before-dividing": 0.06,
    "squared-without-halving": 0.04, "halved-after-squaring": 0.03,
    "binomial-keeps-full-coefficient": 0.03, "binomial-keeps-the-square": 0.01,
    "binomial-sign-lost": 0.03, "square-subtracted-other-side": 0.02,
    "fraction-square-keeps-denominator": 0.03,
    "numerator-not-rescaled": 0.02, "leading-coefficient-dropped": 0.07,
    "right-side-not-divided": 0.05, "fraction-doubled-not-halved": 0.03, "divided-by-a": 0.04,
    "divided-by-two": 0.03, "only-b-divided": 0.02, "a-left-out-of-discriminant": 0.02,
    "discriminant-not-rooted": 0.02, "four-left-out": 0.02, "negative-b-squared-negative": 0.03,
    "right-side-used-as-c": 0.08, "minus-b-not-negated + divided-by-a": 0.006,
    "i-squared-as-plus-one": 0.14, "vertex-not-halved": 0.07, "vertex-b-not-negated": 0.06,
}  # fmt: skip

# what else becomes of an answer that is not simply right
OTHER_CAUSES = {
    "slip": 0.030, "outside": 0.045, "blank": 0.020, "dont-know": 0.012, "unreadable": 0.006,
    "too-coarse": 0.010, "right-other-form": 0.015,
}  # fmt: skip
RULES = tuple(_RULES)
CAUSES = (*RULES, *OTHER_CAUSES)
LIMIT = 0.85  # greatest chance of anything but a plainly right answer
GAMMA_SHAPE = 0.8  # of the tendencies: a few students hold most of a rule's errors
WEAKNESS_SPREAD = 0.4  # standard deviation of the logarithm
SECOND_TERM = {  # change of the usual rates from the first term to the second
    "multiplied-first-term-only": 0.6, "vertex-sign-kept": 1.8, "divided-by-a": 1.5,
    "fractions-added-across": 0.5, "root-takes-factor-sign": 1.2,
}  # fmt: skip
AGAIN = (1.0, 0.6, 0.45)  # what is left of every chance at the first, second, third try


@dataclass(frozen=True)
class Students:
    """A group of students.

    Args:
        tendency: students x rules, mean 1.
        weakness: one for each student, mean 1.
    """

    tendency: Floats
    weakness: Floats

    def __len__(self) -> int:
        return len(self.weakness)

    def chosen(self, places: NDArray[np.int64]) -> Students:
        """The students at these places, in this order."""
        return Students(self.tendency[places], self.weakness[places])


def draw_students(random: np.random.Generator, count: int) -> Students:
    """Draw students; each keeps his tendencies for the whole course."""
    tendency = random.gamma(GAMMA_SHAPE, 1 / GAMMA_SHAPE, (count, len(RULES)))
    shift = -(WEAKNESS_SPREAD**2) / 2
    return Students(tendency, random.lognormal(shift, WEAKNESS_SPREAD, count))


@cache
def _base_rates(term: int, week: int) -> Floats:
    kept = dict.fromkeys(RULES, 1.0)
    for clinic in CLINICS:
        if clinic.week <= week:
            for pattern in clinic.patterns:
                kept[pattern] *= clinic.kept[term]
    change = SECOND_TERM if term else {}
    rates = [rate * kept[rule] * change.get(rule, 1.0) for rule, rate in _RULES.items()]
    return np.array([*rates, *OTHER_CAUSES.values()])


def base_rates(term: int, week: int) -> Floats:
    """Expected rate of every cause before the limit, for a question assigned in a week.

    Args:
        term: 0 for the first, 1 for the second.
        week: teaching week, from 1.
    """
    return _base_rates(term, week).copy()


def rule_mask(problem: Problem) -> NDArray[np.bool_]:
    """Which causes a problem can show, in the order of `CAUSES`."""
    rules = [rule in problem.wrong for rule in RULES]
    others = {
        "too-coarse": bool(coarse_spellings(problem)),
        "right-other-form": bool(problem.other_forms),
        "dont-know": not problem.options,
        "unreadable": not problem.options,
    }
    return np.array(rules + [others.get(cause, True) for cause in OTHER_CAUSES])


def rule_chances(
    students: Students, rates: Floats, masks: NDArray[np.bool_], attempt: int
) -> Floats:
    """Chance of every cause for every student.

    Args:
        students: one or more.
        rates: of `base_rates`.
        masks: students x causes, what each one's numbers can show.
        attempt: 1, 2 or 3.

    Returns:
        students x causes; what is missing to 1 is the chance of a right answer.
    """
    chances = _leanings(students) * rates * masks * AGAIN[attempt - 1]
    total = chances.sum(axis=1, keepdims=True)
    limited: Floats = chances * np.minimum(1, LIMIT / np.maximum(total, 1e-12))
    return limited


def _leanings(students: Students) -> Floats:
    """By what each student multiplies the rate of each cause: students x causes."""
    personal = np.ones((len(students), len(CAUSES)))
    personal[:, : len(RULES)] = students.tendency
    return personal * students.weakness[:, None]


@cache
def _reference() -> Floats:
    return _leanings(draw_students(np.random.default_rng(4), 4000))


def expected_rates(term: int, week: int, problems: tuple[Problem, ...]) -> Floats:
    """Expected rate of every cause at the first try, over students and equally likely problems.

    The mean before the limit is known exactly; what the limit takes away is small and comes from
    4,000 reference students.
    """
    masks = Counter(tuple(rule_mask(one).tolist()) for one in problems)
    expected = np.zeros(len(CAUSES))
    for mask, count in masks.items():
        expected += _expected(term, week, mask) * count / len(problems)
    return expected


@cache
def _expected(term: int, week: int, mask: tuple[bool, ...]) -> Floats:
    rates = base_rates(term, week) * np.array(mask)
    leanings = _reference()
    kept = np.minimum(1, LIMIT / np.maximum(leanings @ rates, 1e-12))
    lost = rates * ((1 - kept) @ leanings) / len(leanings)
    limited: Floats = rates - lost
    return limited
