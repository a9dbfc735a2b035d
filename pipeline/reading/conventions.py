"""The named conventions: how each ambiguous form is read, and what its other reading is.

`python -m tests.reading.conventions_page` writes CONVENTIONS.md beside this file from them.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Convention:
    """One documented choice.

    Args:
        name: its name in remarks and in the parser.
        form: an example as typed.
        read_as: how the example is read.
        other: the second reading that is kept; empty where there is none.
        remark: what is said when the second reading is used.
        rule: the rule in words.
    """

    name: str
    form: str
    read_as: str
    other: str
    remark: str
    rule: str


PRODUCT_OF_MIXED = "mixed-number"
"""A number before a fraction taken for a factor: read, yet meant by hardly anyone."""

CONVENTIONS: tuple[Convention, ...] = (
    Convention("juxtaposed-denominator", "1/2x", "(1/2)·x", "1/(2x)",
               "the slash reaches over the whole product",
               "Products and divisions, written or implied, go from left to right."),
    Convention("division-of-fractions", "3/4 ÷ 2/5", "(3/4)/(2/5)", "((3/4)/2)/5",
               "divided from left to right",
               "A written ÷, or a slash with blanks around it behind a fraction, divides by the "
               "whole fraction typed after it without blanks."),
    Convention("numerator-span", "-5±√13/2", "-5 ± (√13)/2", "(-5 ± √13)/2",
               "the fraction bar reaches over the whole numerator",
               "A slash divides the term before it; brackets make it divide a sum."),
    Convention("both-spans", "x+1/x-2", "x + 1/x - 2", "(x + 1)/(x - 2)",
               "the fraction bar reaches over both sides",
               "As above, on both sides of the slash."),
    Convention("denominator-span", "1/x-2", "1/x - 2", "1/(x - 2)",
               "the fraction bar reaches over the whole denominator",
               "As above, to the right of the slash, where letters stand below it, a root follows "
               "or all are numbers."),
    Convention("root-over-product", "sqrt12x", "√12·x", "√(12x)",
               "the root reaches over the whole product",
               "A root without brackets takes one number or one letter."),
    Convention("root-over-quotient", "√13/2", "(√13)/2", "√(13/2)",
               "the root reaches over the fraction",
               "A root without brackets takes one number or one letter."),
    Convention("root-over-sum", "√2+3", "√2 + 3", "√(2 + 3)",
               "the root reaches over the sum",
               "A root without brackets takes one number or one letter."),
    Convention("root-over-numerator", "-6±√36+20/2", "-6 ± √36 + 20/2", "(-6 ± √(36 + 20))/2",
               "the root reaches over the sum, the fraction bar over all of it",
               "As above; a bar over the root of a sum reaches over what stands before it, too."),
    Convention("root-over-power", "√x^2", "(√x)^2", "√(x^2)",
               "the root reaches over the power",
               "A root without brackets takes one number or one letter."),
    Convention("exponent-span", "x^-1/2", "x^(-1)/2", "x^(-1/2)",
               "the exponent reaches over the fraction",
               "An exponent without brackets is one signed number or letter."),
    Convention("exponent-over-product", "2^3x", "2^3·x", "2^(3x)",
               "the exponent reaches over the whole product",
               "As above; the other reading is kept where the right answer has letters in an "
               "exponent."),
    Convention("exponent-over-sum", "2^x+1", "2^x + 1", "2^(x + 1)",
               "the exponent reaches over the whole sum",
               "As above; the other reading is kept where the right answer has letters in an "
               "exponent."),
    Convention("base-of-logarithm", "log2(8)", "log_2(8)", "log(2)·8",
               "the number behind log is not the base",
               "A whole number right behind log is the base if a bracket follows, or a blank and "
               "another number or letter."),
    Convention("argument-over-product", "ln 3x", "ln(3x)", "ln(3)·x",
               "the function takes one factor alone",
               "A function without brackets takes the numbers and letters up to the next sign."),
    Convention("argument-over-quotient", "log x/y", "log(x)/y", "log(x/y)",
               "the function takes the whole fraction",
               "As above, up to the slash."),
    Convention("argument-over-sum", "ln x+1", "ln(x) + 1", "ln(x + 1)",
               "the function takes the whole sum",
               "As above."),
    Convention("sum-beside-brackets", "x-3(x+3)", "x - 3(x + 3)", "(x - 3)(x + 3)",
               "the sum beside the brackets is a factor, too",
               "A product binds closer than the signs beside it."),
    Convention("exponent-lost", "x2 + 3", "x^2 + 3", "2x + 3",
               "the number behind the letter or bracket was meant at the other height",
               "A number from 2 to 9 right behind a letter or a bracket is an exponent that lost "
               "its height; `5/9` behind a bracket is a factor."),
    Convention(PRODUCT_OF_MIXED, "1 1/2", "1 + 1/2", "1·1/2",
               "the number before the fraction is a factor",
               "A whole number, a blank and a fraction are a mixed number; the other reading is "
               "told, but makes no answer right and shows no error."),
    Convention("minus-before-letter", "-x^2", "-(x^2)", "",
               "",
               "A power binds closer than the minus sign before it."),
    Convention("minus-before-power", "-3^2", "-(3^2)", "(-3)^2",
               "the minus sign belongs to the base",
               "As above; with a number alone the other reading is kept."),
    Convention("mixed-sign", "-2 1/2", "-(2 + 1/2)", "-2 + 1/2",
               "the minus sign belongs to the whole number alone",
               "A sign before a mixed number is the sign of all of it."),
    Convention("double-minus", "--3", "3", "-3",
               "the second minus sign is a slip of the key",
               "Two minus signs make plus."),
    Convention("plus-minus-typed", "3+-4", "3 ± 4", "3 + (-4)",
               "plus, then minus",
               "`+-` without a blank is plus-minus, `+ -` with a blank is plus and then minus; in "
               "an expression with letters both are plus and then minus."),
    Convention("x-as-times", "3 x 4", "3·4", "3·x·4",
               "the x is a letter",
               "An x between two numbers, set off by blanks, is a times sign."),
    Convention("x-between-brackets", "(x-2) x (x+3)", "(x-2)·x·(x+3)", "(x-2)·(x+3)",
               "the x is a times sign",
               "Between brackets an x is a letter; set off by blanks it may be a times sign."),
    Convention("percent", "12%", "12/100", "12",
               "the percent sign is a unit",
               "A percentage is a number of hundredths."),
    Convention("factorial", "3!", "3", "6",
               "the exclamation mark is a factorial",
               "An exclamation mark is excitement."),
    Convention("repeating-in-brackets", "0.1(6)", "0.1666…", "0.1·6",
               "the number in brackets is a factor",
               "Digits in brackets right behind decimals repeat for ever."),
    Convention("repeating-in-words", "0.83 repeating", "0.8383…", "0.8333…",
               "the last decimal alone repeats for ever",
               "The decimals before the word repeat for ever."),
    Convention("repeating-dots", "0.3...", "0.3, cut off", "0.333…",
               "the one decimal before the dots repeats for ever",
               "Dots behind decimals that repeat themselves go on with them; other decimals were "
               "cut off."),
    Convention("mixed-hyphen", "1-1/4", "1 - 1/4", "1 + 1/4",
               "the hyphen joins a whole number and its fraction",
               "A minus sign subtracts; a whole answer of this shape may be a mixed number."),
    Convention("mixed-in-words", "2 and 1/2", "2 or 1/2", "2 + 1/2",
               "the word joins a whole number and its fraction",
               "`and` stands between two solutions; a whole number and a proper fraction may be "
               "one mixed number."),
    Convention("unit-letter", "12 m", "12", "12·m",
               "the letter is a factor",
               "A letter of a unit (m, s, h, g, L, V, W, N, J) behind a blank at the end is a "
               "unit, unless the question uses the letter."),
    Convention("ratio", "7:4", "7/4", "the pair (7, 4)",
               "a ratio read as a pair",
               "A ratio is the fraction that it equals."),
    Convention("factors-in-brackets", "2(3)", "2·3", "",
               "",
               "A number before a bracket is a factor."),
    Convention("comma-list", "3,5", "3 and 5", "3.5",
               "decimal comma",
               "A comma separates, unless the course writes decimal commas or a semicolon "
               "separates as well."),
    Convention("comma-thousands", "1,000", "1000", "1 and 0, or 1.000",
               "the comma separates",
               "A comma before exactly three digits, without blank, groups thousands."),
    Convention("and-for-or", "x<-8 and x>2", "no number", "x < -8 or x > 2",
               "“and” stands for “or”, since no number is both",
               "“And” joins conditions that hold together."),
    Convention("ends-first", "x=3, x>3", "x >= 3", "x > 3",
               "the numbers before the inequality are its ends",
               "Conditions side by side hold together, or where none does, either; numbers that "
               "are the ends of what follows them may be working."),
    Convention("bracket-pair", "(2,5)", "the point (2, 5)", "the open interval, or the list 2, 5",
               "the brackets hold something else",
               "The kind of the question decides; without one, (a,b) is a point and [a,b] an "
               "interval."),
    Convention("interval-backwards", "(∞,-3)", "from -3 to infinity", "(-∞, -3)",
               "the infinity is at the wrong end, or has the other sign",
               "An interval runs from its left end to its right one; turned around it is right in "
               "another form at most."),
    Convention("letters-before-words", "pi", "π, or p·i beside `pk + wi`", "", "",
               "What the problem's letters spell is their product, before words, units, functions "
               "and constants; pi is the number unless p and i both stand elsewhere in the "
               "problem, one of them in another product where no radius or diameter does, or one "
               "of them is asked for; oo and inf are infinity as an end of an interval alone."),
    Convention("euler", "e", "a letter", "",
               "",
               "e is a letter; the number beside a logarithm, and as the base of a power with a "
               "letter in its exponent."),
    Convention("imaginary-unit", "i", "the imaginary unit", "",
               "",
               "i is the imaginary unit unless the problem uses it as a letter: asked for, the "
               "only one of an equation, in a polynomial to factor, in a formula of three letters, "
               "beside j, or before another letter; I and j, with a remark, where a complex number "
               "is formed."),
    Convention("label", "x1=2; x2=5", "2 and 5", "",
               "",
               "A letter with or without index before an equals sign is a label of roots."),
    Convention("unequal-signs", "x=2, y=-3", "the point (2, -3)", "",
               "",
               "Different letters make a point, in alphabetical order where the letters are "
               "neighbors, else in the order typed."),
)  # fmt: skip

WIDE_EXPONENTS = frozenset({"exponent-over-product", "exponent-over-sum"})
"""Readings that are kept only where the right answer has letters in an exponent."""

WITH_BRACKETS = frozenset(
    {"juxtaposed-denominator", "numerator-span", "both-spans", "denominator-span", "exponent-span"}
    | {"root-over-product", "root-over-quotient", "root-over-sum", "root-over-power"}
    | {"root-over-numerator", "argument-over-product", "argument-over-quotient"}
    | {"argument-over-sum", "minus-before-power", "sum-beside-brackets"}
    | WIDE_EXPONENTS
)
"""Conventions whose second reading has brackets, or a bar over all of it, that were not typed."""

BY_NAME = {convention.name: convention for convention in CONVENTIONS}
