"""Wrong rules on cases worked out by hand; the working stands beside each case."""

from __future__ import annotations

import pytest

from synthetic_data.problems import Problem
from synthetic_data.typing_habits import spellings
from synthetic_data.unnamed_rules import UNNAMED as UNNAMED_RULES
from synthetic_data.wrong_rules import expanding as ex
from synthetic_data.wrong_rules import factoring as fa
from synthetic_data.wrong_rules import linear as li
from synthetic_data.wrong_rules import parabola as pa
from synthetic_data.wrong_rules import simplifying as si
from synthetic_data.wrong_rules import squares as sq


def texts(problem: Problem, rule: str) -> list[str]:
    """The plainest spelling of each answer that the rule leads to."""
    plain = {"plain", "comma", "words"}
    return [
        next(text for habit, text, _ in spellings(value, problem.letter) if habit in plain)
        for value in problem.wrong.get(rule, ())
    ]


CASES = [
    # 4x - 10 = -12: 4x = -12 - 10 = -22
    (li.linear_two_steps(4, -10, -12), "constant-moved-same-sign", ["-11/2"]),
    # 4x + 3 = 9: 4x = 6, x = 6 - 4
    (li.linear_two_steps(4, 3, 9), "coefficient-subtracted", ["2"]),
    # 4x + 4 = 18: 4x = 14, x = 4/14
    (li.linear_two_steps(4, 4, 18), "divided-upside-down", ["2/7"]),
    # 7x - 11 = 15: x - 11 = 15/7
    (li.linear_two_steps(7, -11, 15), "divided-one-term-only", ["92/7"]),
    # 4x - 12 = 2x + 11: 6x = 23
    (li.linear_both_sides(4, -12, 2, 11), "unknown-terms-added", ["23/6"]),
    # 3(x + 7) = -12: 3x + 7 = -12
    (li.linear_bracket(3, 1, 7, -12), "multiplied-first-term-only", ["-19/3"]),
    (ex.expand_square(3, -4), "square-spread-over-sum", ["9x^2 + 16"]),
    (ex.expand_square(1, -3), "middle-term-not-doubled", ["x^2 - 3x + 9"]),
    (ex.expand_square(4, 2), "coefficient-not-squared", ["4x^2 + 16x + 4"]),
    (ex.expand_square(1, -2), "square-keeps-minus", ["x^2 - 4x - 4"]),
    (ex.expand_square(2, -7), "square-means-double", ["4x - 14"]),
    (ex.expand_product(2, 2, 2, -4), "first-and-last-only", ["4x^2 - 8"]),
    (ex.expand_bracket(-7, 3, -2), "minus-not-carried-through", ["-21x - 14"]),
    (si.power_product(4, 7), "exponents-multiplied-in-product", ["x^28"]),
    (si.power_of_power(1, 2, 7), "exponents-added-in-power", ["x^9"]),
    (si.power_of_power(2, 4, 2), "coefficient-left-out-of-power", ["2x^8"]),
    (si.power_quotient(12, 4), "exponents-divided-in-quotient", ["x^3"]),
    (si.negative_power(5, 1), "negative-exponent-as-negative", ["-5"]),
    (si.zero_power(15), "zero-exponent-as-zero", ["0"]),
    # 125 = 5^2 * 5, 45 = 3^2 * 5, 27 + 12 = 39
    (si.radical(5, 5), "square-factor-left-unrooted", ["25sqrt(5)"]),
    (si.radical(3, 5), "radical-inside-outside-swapped", ["5sqrt(3)"]),
    (si.radical_sum(3, 2, 3), "roots-added-under-one-root", ["sqrt(39)"]),
    (si.root_of_squares(3, 5), "rooted-term-by-term", ["8"]),
    (si.fraction_sum(4, 3, 4, 9), "fractions-added-across", ["2/3"]),
    (si.fraction_quotient(4, 7, 10, 9), "divided-without-inverting", ["40/63"]),
    (si.fraction_quotient(1, 11, 11, 9), "wrong-fraction-inverted", ["121/9"]),
    # (-1 + 4i)(-6 + 4i) with i^2 = 1: 6 + 16 and -4 - 24
    (si.complex_product(-1, 4, -6, 4), "i-squared-as-plus-one", ["22 - 28i"]),
    (fa.factor_trinomial(-3, -2), "factor-signs-swapped", ["(x + 3)(x + 2)"]),
    (fa.factor_difference(10), "difference-of-squares-as-square", ["(x - 10)(x - 10)"]),
    (fa.factor_common(2, -9, -1), "common-factor-lost", ["(x - 9)(x - 1)"]),
    (fa.solve_factored(2, -7, 1, 8), "root-ignores-coefficient", ["7, -8"]),
    (fa.solve_factored(3, 7, 1, -3), "root-upside-down", ["-3/7, 3"]),
    (fa.solve_factored(1, 1, 1, -5), "root-takes-factor-sign", ["1, -5"]),
    # (x - 7)(x + 4) = 8: 8 + 7 and 8 - 4
    (fa.solve_product(-7, 4, 8), "zero-product-with-nonzero", ["15, 4"]),
    (fa.solve_common_factor(4, -11), "divided-out-unknown", ["-11/4"]),
    (sq.root_shifted_square(-8, 16), "plus-minus-dropped", ["12"]),
    (sq.root_shifted_square(-6, 38), "square-undone-without-root", ["44, -32"]),
    (sq.root_shifted_square(9, 42), "halved-instead-of-rooted", ["12, -30"]),
    (sq.root_shifted_square(-3, 8), "shift-moved-same-sign", ["-3 + 2sqrt(2), -3 - 2sqrt(2)"]),
    # 63 = 3^2 * 7 taken as 9 sqrt(7)
    (sq.root_shifted_square(5, 63), "square-factor-left-unrooted",
     ["-5 + 9sqrt(7), -5 - 9sqrt(7)"]),
    (sq.root_sum_of_squares(5, 9), "rooted-term-by-term", ["4"]),
    (sq.root_scaled_square(5, 7), "rooted-before-dividing", ["sqrt(7)/5, -sqrt(7)/5"]),
    # x^2 + 10x = 11: (x + 5)^2 = 11 + 5
    (sq.complete_square(10, 11), "half-not-squared", ["-1, -9"]),
    # x^2 - 12x = 25: 25 + 144 = 169, once with x - 6, once with x - 12
    (sq.complete_square(-12, 25), "squared-without-halving", ["19, -7", "25, -1"]),
    (sq.complete_square(8, 12), "square-added-to-one-side",
     ["-4 + 2sqrt(3), -4 - 2sqrt(3)"]),
    (sq.complete_square(4, 26), "binomial-keeps-full-coefficient",
     ["-4 + sqrt(30), -4 - sqrt(30)"]),
    (sq.complete_square(-12, 27), "binomial-keeps-the-square",
     ["-36 + 3sqrt(7), -36 - 3sqrt(7)"]),
    (sq.complete_square(-6, 16), "binomial-sign-lost", ["2, -8"]),
    (sq.complete_square(6, 35), "square-subtracted-other-side",
     ["-3 + sqrt(26), -3 - sqrt(26)"]),
    (sq.complete_square(13, 16), "fractions-added-across",
     ["-13/2 + sqrt(37), -13/2 - sqrt(37)"]),
    (sq.complete_square(-9, 15), "numerator-not-rescaled", ["9/2 + 2sqrt(6), 9/2 - 2sqrt(6)"]),
    (sq.complete_square_leading(3, -1, 6), "right-side-not-divided",
     ["1/6 + sqrt(217)/6, 1/6 - sqrt(217)/6"]),
    (sq.complete_square_leading(2, -3, 5), "fraction-doubled-not-halved",
     ["sqrt(46)/2 + 3, -sqrt(46)/2 + 3"]),
    # x^2 - 4x + 13 = 0 as x^2 - 4x = 13: (x - 2)^2 = 17
    (sq.complete_square_zero_form(-4, 13), "constant-moved-same-sign",
     ["2 + sqrt(17), 2 - sqrt(17)"]),
    (sq.square_constant(-15), "half-not-squared", ["-15/2"]),
    (sq.square_constant(-11), "squared-without-halving", ["121"]),
    (sq.square_constant(-12), "halved-after-squaring", ["72"]),
    (sq.square_constant(-13), "square-keeps-minus", ["-169/4"]),
    (pa.formula(4, -8, 1), "minus-b-not-negated", ["sqrt(3)/2 - 1, -sqrt(3)/2 - 1"]),
    (pa.formula(5, -5, -8), "divided-by-two", ["5/2 + sqrt(185)/2, 5/2 - sqrt(185)/2"]),
    (pa.formula(2, -8, -5), "only-root-divided", ["sqrt(26)/2 + 8, -sqrt(26)/2 + 8"]),
    (pa.formula(2, -12, 3), "only-b-divided", ["3 + 2sqrt(30), 3 - 2sqrt(30)"]),
    (pa.formula(2, -6, -6), "negative-b-squared-negative", ["3/2 + sqrt(3)/2, 3/2 - sqrt(3)/2"]),
    (pa.formula(3, 10, 4), "four-left-out", ["-5/3 + sqrt(22)/3, -5/3 - sqrt(22)/3"]),
    (pa.formula(5, -9, 3), "a-left-out-of-discriminant",
     ["9/10 + sqrt(69)/10, 9/10 - sqrt(69)/10"]),
    (pa.formula(4, -11, -6), "discriminant-not-rooted", ["57/2, -103/4"]),
    (pa.formula(3, -6, -2), "square-means-double", ["sqrt(3)/3 + 1, -sqrt(3)/3 + 1"]),
    (pa.formula_unsorted(2, -12, 9), "right-side-used-as-c",
     ["3sqrt(2)/2 + 3, -3sqrt(2)/2 + 3"]),
    # 4x^2 - 8x + 1: (b ± sqrt(48)) / a with b = -8
    (pa.formula(4, -8, 1), "minus-b-not-negated + divided-by-a",
     ["-2 + sqrt(3), -2 - sqrt(3)"]),
    (pa.discriminant(2, -3, -9), "four-ac-added", ["-63"]),
    (pa.discriminant(3, -5, 7), "negative-b-squared-negative", ["-109"]),
    (pa.discriminant(2, 9, 1), "four-left-out", ["79"]),
    (pa.discriminant(3, 8, 4), "square-means-double", ["-32"]),
    (pa.vertex_shifted(2, -8, 2), "vertex-sign-kept", ["(-8, 2)"]),
    (pa.vertex_expanded(2, 8, 9), "vertex-not-halved", ["(-4, 9)"]),
    (pa.vertex_expanded(2, 16, -5), "vertex-b-not-negated", ["(4, 91)"]),
]  # fmt: skip

SILENT = [
    pytest.param(pa.formula(1, 3, -5), "divided-by-two", id="2a is 2 when a is 1"),
    pytest.param(pa.formula(1, 3, -5), "a-left-out-of-discriminant", id="a is 1"),
    pytest.param(pa.formula(3, 8, 2), "negative-b-squared-negative", id="b is positive"),
    pytest.param(pa.discriminant(3, 8, 2), "negative-b-squared-negative", id="b is positive here"),
    pytest.param(pa.discriminant(3, 2, 4), "square-means-double", id="2b is b^2 when b is 2"),
    pytest.param(ex.expand_square(1, 3), "coefficient-not-squared", id="p is its own square"),
    pytest.param(ex.expand_square(2, 3), "square-keeps-minus", id="no minus to keep"),
    pytest.param(ex.expand_bracket(7, 1, 8), "minus-not-carried-through", id="no minus in front"),
    pytest.param(sq.square_constant(2), "half-not-squared", id="1 is its own square"),
    pytest.param(sq.square_constant(8), "square-keeps-minus", id="b is positive"),
    pytest.param(sq.complete_square(6, 16), "fractions-added-across", id="no fraction arises"),
    pytest.param(
        sq.complete_square_leading(2, 4, 5), "fraction-doubled-not-halved", id="b/a whole"
    ),
    pytest.param(fa.solve_factored(1, 2, 1, 3), "root-upside-down", id="no coefficient"),
    pytest.param(pa.vertex_shifted(2, 0, 3), "vertex-sign-kept", id="nothing is shifted"),
]


@pytest.mark.parametrize(("problem", "rule", "expected"), CASES)
def test_a_wrong_rule_leads_where_it_says(problem: Problem, rule: str, expected: list[str]) -> None:
    assert texts(problem, rule) == expected


@pytest.mark.parametrize(("problem", "rule"), SILENT)
def test_a_rule_that_changes_nothing_is_not_planted(problem: Problem, rule: str) -> None:
    assert texts(problem, rule) == []


def test_a_pair_that_misses_the_sum_keeps_the_product() -> None:
    """x^2 - 8x + 12: pairs with product 12, but not 2 and 6 with either sign."""
    wrong = fa.factor_trinomial(-2, -6).wrong["factor-pair-misses-sum"]

    pairs = {(one[0][1], one[1][1]) for one in (value.members for value in wrong)}
    assert pairs == {(1, 12), (3, 4), (-12, -1), (-4, -3)}


def test_one_root_left_out_is_one_of_the_two() -> None:
    assert texts(fa.solve_trinomial(3, 9), "second-root-left-out") == ["-3", "-9"]


def test_a_sum_of_squares_can_be_torn_apart_in_two_ways() -> None:
    assert texts(fa.factor_sum_of_squares(9), "sum-of-squares-factored") == [
        "(x + 9)(x - 9)",
        "(x + 9)(x + 9)",
    ]


def test_a_wrong_radicand_below_zero_is_said_in_words() -> None:
    """3x^2 + 2x - 4 = 0 with b^2 + 4ac = 4 - 48."""
    assert texts(pa.formula(3, 2, -4), "four-ac-added") == ["no real solution"]


def test_a_lost_minus_under_the_root_gives_real_roots() -> None:
    """(x + 5)^2 = -39 solved as (x + 5)^2 = 39."""
    problem = sq.root_shifted_square_complex(5, 39)
    assert texts(problem, "negative-radicand-made-positive") == ["-5 + sqrt(39), -5 - sqrt(39)"]


UNNAMED = [
    (sq.square_constant(-26), "halved-twice", "-13/2"),  # half is -13
    (pa.discriminant(2, 5, 7), "c-added-to-four-a", "10"),  # 25 - (8 + 7)
    (pa.vertex_expanded(2, -12, 9), "height-without-square", "(3, -27)"),  # -36 + 9
]


@pytest.mark.parametrize(("problem", "rule", "answer"), UNNAMED)
def test_a_rule_that_no_catalogue_has_leads_to_its_answer(
    problem: Problem, rule: str, answer: str
) -> None:
    typed = [text for _, text, _ in spellings(problem.unnamed[rule], problem.letter)]

    assert answer in typed
    assert problem.unnamed.keys() <= UNNAMED_RULES.keys()
