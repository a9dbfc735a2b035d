"""How students type a value: many spellings of one answer, each with its name and how common it is.

Every spelling is one that a person would read as the value and nothing else, so that a reader
which misses one is at fault. Decimals have three places or are exact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from synthetic_data.print_terms import fraction_text, polynomial_text
from synthetic_data.surds import Surd
from synthetic_data.values import Factors, Number, Point, Polynomial, Power, Roots, Typed, Value

# name of the habit, text, weight of the habit among those that the value allows
Spelling = tuple[str, str, float]

SUPERSCRIPTS = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
MINUS = "\N{MINUS SIGN}"
PLUS_MINUS = "\N{PLUS-MINUS SIGN}"
ROOT = "\N{SQUARE ROOT}"


def spellings(value: Value, letter: str = "x") -> tuple[Spelling, ...]:
    """All spellings of a value.

    `letter` is the unknown of the question. Weights are positive and need not sum to 1.
    """
    return tuple(dict.fromkeys(_ways(value, letter)))


def _ways(value: Value, letter: str) -> Iterator[Spelling]:
    match value:
        case Typed(texts):
            yield from (("words", text, 1.0) for text in texts)
        case Number(content):
            yield from _number(content)
        case Roots(members):
            yield from _roots(members, letter)
        case Polynomial():
            yield from _polynomial(value, letter)
        case Factors():
            yield from _factors(value, letter)
        case Power():
            yield from _power(value, letter)
        case Point(x, y):
            yield from _point(fraction_text(x), fraction_text(y))


def _exact_decimal(value: Fraction) -> str | None:
    """The decimal of a fraction when it ends within three places."""
    if value.denominator == 1 or 1000 % value.denominator:
        return None
    return f"{float(value):.3f}".rstrip("0")


def _scaled(size: Fraction, symbol: str, times: str = "") -> str:
    """`2*symbol/3` for size 2/3 with the sign left out."""
    top = symbol if abs(size.numerator) == 1 else f"{abs(size.numerator)}{times}{symbol}"
    return top if size.denominator == 1 else f"{top}/{size.denominator}"


def _bar_may_reach(value: Surd) -> bool:
    """Whether a reader may take `5 + sqrt(3)/2` for `(5 + sqrt(3))/2`."""
    return bool(value.whole) and value.whole.denominator == 1 and value.part.denominator > 1


def _symbol(radicand: int, root_word: Callable[[int], str]) -> str:
    if radicand == -1:
        return "i"
    return root_word(radicand) if radicand > 0 else f"i*{root_word(-radicand)}"


def _plain_root(radicand: int) -> str:
    return f"sqrt({radicand})"


def _sign_root(radicand: int) -> str:
    return f"{ROOT}{radicand}"


def _closed_root(radicand: int) -> str:
    return f"{ROOT}({radicand})"


def surd_text(value: Surd, root_word: Callable[[int], str] = _plain_root, times: str = "") -> str:
    """A number as one sum: `-3/2 + 2sqrt(5)/3`, the root first where a bar could reach too far."""
    if value.is_rational:
        return fraction_text(value.whole)
    if value.part.denominator > 1:
        root_word = _plain_root if root_word is _plain_root else _closed_root
    tail = _scaled(value.part, _symbol(value.radicand, root_word), times)
    if not value.whole:
        return tail if value.part > 0 else f"-{tail}"
    if _bar_may_reach(value):
        front = tail if value.part > 0 else f"-{tail}"
        return f"{front} {'+' if value.whole > 0 else '-'} {abs(value.whole)}"
    return f"{fraction_text(value.whole)} {'+' if value.part > 0 else '-'} {tail}"


def _latex(value: Surd) -> str:
    def part(size: Fraction, symbol: str) -> str:
        top = symbol if symbol and size.numerator == 1 else f"{size.numerator}{symbol}"
        return top if size.denominator == 1 else f"\\frac{{{top}}}{{{size.denominator}}}"

    def signed(size: Fraction, symbol: str) -> str:
        return f"{'-' if size < 0 else ''}{part(abs(size), symbol)}"

    if value.is_rational:
        return signed(value.whole, "")
    symbol = "i" if value.radicand == -1 else f"\\sqrt{{{abs(value.radicand)}}}"
    if value.radicand < -1:
        symbol += "i"
    if not value.whole:
        return signed(value.part, symbol)
    sign = "-" if value.part < 0 else "+"
    return f"{signed(value.whole, '')}{sign}{part(abs(value.part), symbol)}"


def _number(value: Surd) -> Iterator[Spelling]:
    plain = surd_text(value)
    yield "plain", plain, 60.0
    yield "trailing blank", f"{plain} ", 2.0
    yield "unicode", surd_text(value, _sign_root).replace("-", MINUS), 8.0
    yield "latex", _latex(value), 3.0
    if value.is_rational:
        if exact := _exact_decimal(value.whole):
            yield "exact decimal", exact, 15.0
        return
    yield "no blanks", plain.replace(" ", ""), 8.0
    yield "times sign", surd_text(value, times="*"), 8.0
    if value.is_real:
        yield "three places", f"{value.decimal():.3f}", 8.0


def _conjugates(members: tuple[Surd, ...]) -> Surd | None:
    """The first of two numbers that differ in the sign of their root alone."""
    if len(members) != 2 or members[0].is_rational or members[1].is_rational:
        return None
    one, two = members
    swapped = Surd(one.whole, -one.part, one.radicand)
    return one if swapped == two and one.part > 0 else None


def _roots(members: tuple[Surd, ...], letter: str) -> Iterator[Spelling]:
    texts = [surd_text(member) for member in members]
    label = f"{letter} = "
    yield "labels with or", " or ".join(label + text for text in texts), 14.0
    yield "tight labels", ", ".join(f"{letter}={text.replace(' ', '')}" for text in texts), 12.0
    yield "comma", ", ".join(texts), 24.0
    yield "unicode", ", ".join(texts).replace("-", MINUS), 4.0
    yield "latex", f"{letter}=" + f",{letter}=".join(map(_latex, members)), 3.0
    if len(members) > 1:
        yield "one label", label + ", ".join(texts), 10.0
        yield "semicolon", "; ".join(texts), 5.0
        yield "braces", "{" + ", ".join(texts) + "}", 3.0
        yield "other order", ", ".join(reversed(texts)), 6.0
        yield "and", " and ".join(texts), 4.0
        yield "indexed", "; ".join(f"{letter}{n}={text}" for n, text in enumerate(texts, 1)), 2.0
    yield from _decimals(members)
    yield from _plus_minus(members, letter)


def _decimals(members: tuple[Surd, ...]) -> Iterator[Spelling]:
    if all(member.is_rational for member in members):
        exact = [_exact_decimal(one.whole) or fraction_text(one.whole) for one in members]
        if any("." in text for text in exact):
            yield "exact decimal", ", ".join(exact), 8.0
    elif all(member.is_real for member in members):
        yield "three places", ", ".join(f"{one.decimal():.3f}" for one in members), 9.0


def _plus_minus(members: tuple[Surd, ...], letter: str) -> Iterator[Spelling]:
    first = _conjugates(members)
    if first is None or _bar_may_reach(first):
        return
    for name, sign, root_word, weight in (
        ("plus-minus sign", PLUS_MINUS, _sign_root, 16.0),
        ("typed plus-minus", "+-", _plain_root, 6.0),
        ("plus slash minus", "+/-", _plain_root, 3.0),
    ):
        closed = _closed_root if root_word is _sign_root else root_word
        word = closed if first.part.denominator > 1 else root_word
        tail = _scaled(first.part, _symbol(first.radicand, word))
        front = f"{fraction_text(first.whole)} " if first.whole else ""
        yield name, f"{letter} = {front}{sign}{' ' if front else ''}{tail}", weight
    if first.is_real and first.part.denominator == first.whole.denominator > 1:
        below = first.whole.denominator
        tail = _scaled(Fraction(first.part.numerator), _sign_root(first.radicand))
        yield "over one bar", f"({first.whole.numerator} {PLUS_MINUS} {tail})/{below}", 14.0


def _polynomial(value: Polynomial, letter: str) -> Iterator[Spelling]:
    plain = polynomial_text(value, letter)
    yield "plain", plain, 45.0
    yield "no blanks", plain.replace(" ", ""), 30.0
    if f"{letter}^2" in plain:
        yield "superscript", plain.replace("^2", "²"), 10.0
        yield "latex", plain.replace(" ", "").replace("^2", "^{2}"), 3.0
    yield "unicode", plain.replace("-", MINUS), 4.0
    backwards = Polynomial(tuple(reversed(value.terms)))
    yield "other order", polynomial_text(backwards, letter), 5.0


def _factors(value: Factors, letter: str) -> Iterator[Spelling]:
    front = "" if value.constant == 1 else str(value.constant)
    words = [polynomial_text(_binomial(one), letter) for one in value.members]
    brackets = [f"({word})" for word in words]
    plain = front + "".join(brackets)
    yield "plain", plain, 40.0
    yield "no blanks", plain.replace(" ", ""), 30.0
    yield "other order", front + "".join(reversed(brackets)), 15.0
    yield "unicode", plain.replace("-", MINUS), 4.0
    yield "times sign", "*".join(([front] if front else []) + brackets), 4.0
    if len(set(words)) == 1 and len(words) == 2:
        yield "square", f"{front}{brackets[0]}^2", 40.0


def _binomial(factor: tuple[int, int]) -> Polynomial:
    terms = ((1, Fraction(factor[0])), (0, Fraction(factor[1])))
    return Polynomial(tuple(term for term in terms if term[1]))


def _power(value: Power, letter: str) -> Iterator[Spelling]:
    front = "" if value.coefficient == 1 else fraction_text(value.coefficient)
    if value.exponent.denominator > 1:
        yield "plain", f"{front}{letter}^({fraction_text(value.exponent)})", 1.0
        return
    exponent = str(value.exponent.numerator)
    plain = f"{front}{letter}^{exponent}" if exponent != "1" else f"{front}{letter}"
    yield "plain", plain, 60.0
    yield "trailing blank", f"{plain} ", 3.0
    if exponent != "1" and value.exponent > 0:
        yield "superscript", f"{front}{letter}{exponent.translate(SUPERSCRIPTS)}", 12.0
        yield "latex", f"{front}{letter}^{{{exponent}}}", 6.0
    if front:
        yield "times sign", plain.replace(front, f"{front}*", 1), 8.0


def _point(x: str, y: str) -> Iterator[Spelling]:
    yield "plain", f"({x}, {y})", 50.0
    yield "no blanks", f"({x},{y})", 35.0
    yield "wide", f"( {x} , {y} )", 4.0
    yield "unicode", f"({x}, {y})".replace("-", MINUS), 5.0
