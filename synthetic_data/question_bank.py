"""The questions of the invented course, topic by topic, in the order of its lessons."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Any

from synthetic_data.other_questions import other_questions
from synthetic_data.problems import Problem
from synthetic_data.questions import Place, Question, first_problems
from synthetic_data.wrong_rules import expanding as ex
from synthetic_data.wrong_rules import factoring as fa
from synthetic_data.wrong_rules import linear as li
from synthetic_data.wrong_rules import parabola as pa
from synthetic_data.wrong_rules import simplifying as si
from synthetic_data.wrong_rules import squares as sq

Grid = Iterable[tuple[Any, ...]]
VARIANTS = 36  # sets of numbers of a randomized question

PLACES = {
    place.topic: place
    for place in (
        Place("linear-equations", "LIN", 1, 2, 4),
        Place("fractions", "FRA", 2, 3, 5),
        Place("expanding", "EXP", 3, 4, 6),
        Place("exponents", "POW", 4, 5, 7),
        Place("radicals", "RAD", 5, 6, 8),
        Place("square-root-property", "SRP", 6, 7, 9),
        Place("discriminant", "DIS", 7, 8, 10),
        Place("quadratic-formula", "QFO", 8, 9, 11),
        Place("factoring", "FAC", 9, 10, 12),
        Place("zero-product", "ZPP", 10, 11, 13),
        Place("perfect-squares", "PSQ", 11, 12, 13),
        Place("completing-the-square", "CSQ", 11, 12, 14),
        Place("complex-numbers", "CPX", 12, 13, 14),
        Place("vertex", "VTX", 13, 14, 14),
    )
}

_SMALL = (2, 3, 4, 5, 6, 7, 8, 9)
_SIGNED = (-9, -8, -7, -6, -5, -4, -3, -2, 2, 3, 4, 5, 6, 7, 8, 9)
_PRIMES = (2, 3, 5, 6, 7, 10)

# topic, codes of its questions (`*` after a code: randomized), family, numbers, method
_PLAN: tuple[tuple[str, str, Callable[..., Problem], Callable[[], Grid], str], ...] = (
    ("linear-equations", "P1 P2* Q1 R1 E1", li.linear_two_steps,
     lambda: ((a, b, c) for a, b, c in product((3, 4, 5, 6, 7, 8), _SIGNED, range(-20, 30, 3))
              if (c - b) not in (0, a) and (c - b) % a), ""),
    ("linear-equations", "P3 Q2* E2", li.linear_both_sides,
     lambda: ((a, b, c, d) for a, b, c, d in product((5, 7, 8, 9), _SIGNED, (2, 3), _SIGNED)
              if d != b and (d - b) % (a - c)), ""),
    ("linear-equations", "P4 R2", li.linear_bracket,
     lambda: ((k, p, q, r) for k, p, q, r in product((2, 3, 4), (1, 2, 3), (5, 7, -4), (-12, 17))
              if r != k * q), ""),
    ("fractions", "P1 P2* Q1 R1* E1", si.fraction_sum,
     lambda: ((p, q, r, s) for p, q, r, s in product((1, 2, 3), (4, 5, 7), (1, 2, 5), (3, 6, 8))
              if p < q and r < s), ""),
    ("fractions", "P3 Q2* R2 E2", si.fraction_quotient,
     lambda: ((p, q, r, s) for p, q, r, s in product((1, 2, 3), (5, 7), (4, 5, 9), (3, 7, 11))
              if r % s), ""),
    ("expanding", "P1 P2* Q1* R1 E1", ex.expand_square,
     lambda: product((2, 3, 4, 5), (-7, -5, -3, 3, 5, 7)), ""),
    ("expanding", "P3 R2*", ex.expand_square, lambda: ((1, q) for q in _SIGNED), ""),
    ("expanding", "P4 Q2", ex.expand_product, lambda: product((1, 2), (3, 5), (2, 3), (-4, 7)), ""),
    ("expanding", "P5* Q3 E2", ex.expand_bracket,
     lambda: product((-7, -5, -4, -3), (2, 3, 5), (-8, -2, 4, 7)), ""),
    ("exponents", "P1 P2* Q1 R1 E1", si.power_product,
     lambda: ((m, n, x) for m, n, x in product(range(3, 9), range(2, 8), "xy") if m != n), ""),
    ("exponents", "P3 Q2*", si.power_of_power,
     lambda: ((1, m, n) for m, n in product(range(2, 8), range(3, 7))), ""),
    ("exponents", "P4* R2 E2", si.power_of_power,
     lambda: product((2, 3, 5), range(3, 8), (2, 3)), ""),
    ("exponents", "Q3", si.power_quotient, lambda: ((8, 2), (12, 4), (15, 3)), ""),
    ("exponents", "P5", si.negative_power, lambda: product((3, 4, 5), (1, 2)), ""),
    ("exponents", "R3", si.zero_power, lambda: ((7,), (12,), (15,)), ""),
    ("radicals", "P1 P2* Q1* R1 E1", si.radical,
     lambda: product((2, 3, 4, 5, 6), _PRIMES), ""),
    ("radicals", "P3 Q2 R2*", si.radical_sum,
     lambda: ((p, q, t) for p, q, t in product((2, 3, 4), (3, 5), _PRIMES) if p != q), ""),
    ("radicals", "P4 E2", si.root_of_squares, lambda: ((3, 5), (2, 6), (4, 7), (5, 6)), ""),
    ("square-root-property", "P1 P2* Q1* R1* E1", sq.root_shifted_square,
     lambda: product(_SIGNED, (8, 12, 18, 20, 24, 27, 28, 45, 50, 63)), "square-root"),
    ("square-root-property", "P3 E2", sq.root_shifted_square,
     lambda: product(_SIGNED, (16, 25, 36, 49)), "square-root"),
    ("square-root-property", "P4 Q2", sq.root_scaled_square,
     lambda: product((2, 3, 5), (7, 11, 13, 14)), "square-root"),
    ("square-root-property", "P5 R2", sq.root_sum_of_squares,
     lambda: ((5, 9), (3, 8), (4, 7)), "square-root"),
    ("discriminant", "P1 P2* Q1 R1 E1", pa.discriminant,
     lambda: product((2, 3, 5), (-9, -7, -5, -3), (-7, -4, 3, 6)), ""),
    ("discriminant", "P3 Q2 R2", pa.discriminant,
     lambda: product((2, 3, 4), (3, 5, 8), (-5, 2, 7)), ""),
    ("quadratic-formula", "P1 P2* Q1* R1* E1", pa.formula,
     lambda: ((a, b, c) for a, b, c in product((3, 4, 5), range(-12, 13), range(-8, 5))
              if b * c and b * b > 4 * a * c and _not_square(b * b - 4 * a * c)), "formula"),
    ("quadratic-formula", "P3 Q2* E2", pa.formula,
     lambda: ((a, b, c) for a, b, c in product((3, 5), range(5, 13), range(1, 5))
              if b * b > 4 * a * c and _not_square(b * b - 4 * a * c)), "formula"),
    ("quadratic-formula", "P4 R2", pa.formula_unsorted,
     lambda: ((a, b, k) for a, b, k in product((2, 3), (-9, -7, 5, 8), (1, 2, 3))
              if _not_square(b * b + 4 * a * k) and b * b > 4 * a * k), "formula"),
    ("factoring", "P1 P2* Q1* R1 E1", fa.factor_trinomial,
     lambda: ((m, n) for m, n in product(range(-9, 10), repeat=2)
              if m < n and m * n and abs(m) != abs(n) and abs(m * n) in (12, 18, 20, 24, 30)), ""),
    ("factoring", "P3 R2", fa.factor_difference, lambda: ((m,) for m in (6, 7, 9, 10)), ""),
    ("factoring", "P4 E2", fa.factor_sum_of_squares, lambda: ((m,) for m in (4, 5, 8)), ""),
    ("factoring", "Q2", fa.factor_common, lambda: ((2, -9, -1), (3, -5, 1), (5, 2, -6)), ""),
    ("zero-product", "P1 P2* Q1 R1 E1", fa.solve_factored,
     lambda: ((p, q, r, s) for p, q, r, s in product((2, 3, 5), _SIGNED, (1,), _SIGNED)
              if q % p and abs(q) != abs(s)), "factoring"),
    ("zero-product", "P3 Q2* E2", fa.solve_trinomial,
     lambda: ((m, n) for m, n in product(range(-9, 10), repeat=2)
              if m < n and m * n and abs(m) != abs(n) and abs(m * n) in (12, 18, 20, 24, 30)),
     "factoring"),
    ("zero-product", "P4 R2*", fa.solve_product,
     lambda: ((m, n, k) for m, n, k in product((-7, -5, 1, 2), (3, 4, 6), (8, 10, 14))
              if (m - n) ** 2 + 4 * k > 0), "factoring"),
    ("zero-product", "P5", fa.solve_common_factor, lambda: ((4, -11), (3, 7), (5, 8)), "factoring"),
    ("perfect-squares", "P1 P2* Q1 R1 E1", sq.square_constant,
     lambda: ((b,) for b in range(-60, 0, 2) if b not in (-2, -4)), ""),
    ("perfect-squares", "P3 Q2* R2", sq.square_constant, lambda: ((b,) for b in range(6, 30)), ""),
    ("completing-the-square", "P1 P2* Q1* R1* E1", sq.complete_square,
     lambda: ((b, c) for b, c in product((-14, -12, -10, -8, -6, 6, 8, 10, 12), range(3, 40))
              if _not_square(c + b * b // 4) and c + b > 0), "complete-square"),
    ("completing-the-square", "P3 R2", sq.complete_square,
     lambda: ((b, c) for b, c in product((3, 5, 7, 9), (4, 6, 8, 11))), "complete-square"),
    ("completing-the-square", "P4 Q2 E2", sq.complete_square_leading,
     lambda: ((a, b, c) for a, b, c in product((2, 3), (-7, -5, 5, 7), (4, 5, 8))
              if b % a), "complete-square"),
    ("completing-the-square", "P5", sq.complete_square_zero_form,
     lambda: ((b, c) for b, c in product((-8, -6, 6, 8), (2, 3, 5))), "complete-square"),
    ("complex-numbers", "P1 P2* Q1 R1", si.complex_product,
     lambda: ((p, q, r, s) for p, q, r, s in product((2, 3, 5), (-4, 3, 4), (-6, 1, 7), (-2, 5))
              if p * s + q * r), ""),
    ("complex-numbers", "P3 R2* E1", sq.root_shifted_square_complex,
     lambda: product(_SIGNED, (9, 16, 39, 15, 7)), "square-root"),
    ("complex-numbers", "Q2* E2", pa.formula_complex,
     lambda: ((a, b, c) for a, b, c in product((2, 3), (-6, -4, -2, 2, 4, 6), (5, 7, 8, 9))),
     "formula"),
    ("vertex", "P1 P2* Q1 E1", pa.vertex_shifted, lambda: product((-3, -2, 2, 3), _SIGNED, (2, -5)),
     ""),
    ("vertex", "P3 Q2* R1 E2", pa.vertex_expanded,
     lambda: ((a, b, c) for a, b, c in product((2, 3), (-16, -12, 8, 12), (-5, 4, 9))
              if b % (2 * a) == 0), ""),
)  # fmt: skip


@dataclass(frozen=True)
class Pool:
    """All problems of one line of the plan."""

    topic: str
    method: str
    problems: tuple[Problem, ...]

    @property
    def numbers(self) -> str:
        """The number domain as the items file has it."""
        is_complex = self.topic == "complex-numbers" and self.problems[0].task == "solve"
        return "complex" if is_complex else ""


@cache
def problem_pools() -> tuple[Pool, ...]:
    """One pool for each line of the plan."""
    return tuple(
        Pool(topic, method, tuple(first_problems(family, grid())))
        for topic, _, family, grid, method in _PLAN
    )


def _not_square(n: int) -> bool:
    return n > 0 and int(n**0.5 + 0.5) ** 2 != n


def _questions(codes: str, pool: Pool) -> Iterator[Question]:
    """The questions of one line of the plan; the randomized ones share what the others leave."""
    found = pool.problems
    words = codes.split()
    fixed = [word for word in words if not word.endswith("*")]
    shared = found[len(fixed) :][:VARIANTS] or found[:VARIANTS]
    for word in words:
        chosen = shared if word.endswith("*") else (found[fixed.index(word) % len(found)],)
        yield PLACES[pool.topic].question(
            word.rstrip("*"), chosen, method=pool.method, numbers=pool.numbers
        )


@cache
def question_bank() -> tuple[Question, ...]:
    """Every question of the course, sorted by week and then as listed."""
    made = [
        question
        for (_, codes, *_), pool in zip(_PLAN, problem_pools(), strict=True)
        for question in _questions(codes, pool)
    ]
    made += other_questions(PLACES)
    return tuple(sorted(made, key=lambda question: question.week))
