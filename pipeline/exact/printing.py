"""Trees as text: sympy source for programs, plain notation for people."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    KNOWN_FUNCTIONS,
    Absolute,
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
    letters,
    unsigned,
)

TAKEN_LETTERS = frozenset("CEINOQS")
"""Single letters that name something else in sympy."""

_SUM, _PRODUCT, _POWER, _ATOM = 1, 2, 3, 4
_Piece = tuple[str, int]


def tree_source(node: Node) -> str:
    """Return sympy source; parts without letters are evaluated where that is exact."""
    return _source(node)[0]


def letter_source(name: str) -> str:
    """Return a letter's source: bare, or a Symbol where the bare name means something else."""
    if len(name) == 1 and name.isascii() and name not in TAKEN_LETTERS:
        return name
    return f'Symbol("{name}")'


def _wrap(piece: _Piece, level: int) -> str:
    return piece[0] if piece[1] >= level else f"({piece[0]})"


def _source(node: Node) -> _Piece:
    if not isinstance(node, Relation) and not letters(node):
        exact = _exact_source(node)
        if exact is not None:
            return exact
    return _open_source(node)


def _exact_source(node: Node) -> _Piece | None:
    try:
        value = surd_of(node)
    except (ZeroDivisionError, BudgetExceeded):
        return None
    return None if value is None else _surd_piece(value)


def surd_source(value: Surd) -> str:
    """Return sympy source: `3`, `Rational(-1, 2)`, `3 + sqrt(21)`, `Rational(5, 2) - 3*I`."""
    return _surd_piece(value)[0]


@lru_cache(maxsize=65_536)
def _surd_piece(value: Surd) -> _Piece:
    tree = tree_of_surd(value)
    text, level = _open_source(tree)
    if not text.startswith("-Rational("):
        return text, level
    return "Rational(-" + text.removeprefix("-Rational("), _SUM if isinstance(tree, Sum) else _ATOM


def _factor(node: Node) -> str:
    """A factor behind another one: a fraction in brackets, or its line would be under both."""
    return _wrap(_source(node), _POWER if isinstance(node, Quotient) else _PRODUCT)


def _open_source(node: Node) -> _Piece:  # noqa: PLR0911, PLR0912, C901 - one a kind
    match node:
        case Numeral(value):
            return str(value), _ATOM
        case Quotient(Numeral(above), Numeral(below)) if below:
            return f"Rational({above}, {below})", _ATOM
        case Letter(name):
            return letter_source(name), _ATOM
        case Constant(name):
            return {"i": "I", "e": "E"}.get(name, name), _ATOM
        case Sum(terms):
            return _joined_terms([_signed(term, _source) for term in terms], " - "), _SUM
        case Product(factors):
            first, *others = factors
            parts = [_wrap(_source(first), _PRODUCT), *map(_factor, others)]
            return "*".join(parts), _PRODUCT
        case Negation(part):
            return "-" + _wrap(_source(part), _PRODUCT), _SUM
        case Quotient(upper, lower):
            return f"{_wrap(_source(upper), _PRODUCT)}/{_wrap(_source(lower), _POWER)}", _PRODUCT
        case Power(base, exponent):
            return f"{_wrap(_source(base), _ATOM)}**{_wrap(_source(exponent), _ATOM)}", _POWER
        case Root(radicand, index):
            return _root_source(radicand, index)
        case Absolute(part):
            return f"Abs({tree_source(part)})", _ATOM
        case Call(name, arguments, base):
            return _call_source(name, arguments, base), _ATOM
        case Relation():
            return _relation_source(node), 0
        case PlusMinus(part):
            return f"PlusMinus({tree_source(part)})", _ATOM


def _signed(term: Node, render: object) -> tuple[bool, str]:
    negative = isinstance(term, Negation)
    part = unsigned(term)
    piece = _source(part) if render is _source else _words(part)
    text = _wrap(piece, _PRODUCT)
    if not negative and text.startswith("-"):
        return True, text[1:]
    return negative, text


def _joined_terms(terms: list[tuple[bool, str]], minus: str) -> str:
    sign = minus.strip()
    text = (sign if terms[0][0] else "") + terms[0][1]
    for negative, piece in terms[1:]:
        text += (minus if negative else " + ") + piece
    return text


def _root_source(radicand: Node, index: Node) -> _Piece:
    if index == Numeral(Fraction(2)):
        return f"sqrt({tree_source(radicand)})", _ATOM
    if isinstance(radicand, Negation) and not letters(radicand):
        inner, _ = _root_source(radicand.argument, index)
        return f"-{inner}", _SUM
    if isinstance(index, Numeral) and index.value.denominator == 1:
        return f"{_wrap(_source(radicand), _ATOM)}**Rational(1, {index.value})", _POWER
    return f"{_wrap(_source(radicand), _ATOM)}**(1/{_wrap(_source(index), _ATOM)})", _POWER


def _call_source(name: str, arguments: tuple[Node, ...], base: Node | None) -> str:
    if name not in KNOWN_FUNCTIONS:
        return letter_source(name)
    inner = ", ".join(tree_source(part) for part in arguments)
    if name == "log":
        return f"log({inner}, {tree_source(base) if base is not None else 10})"
    return f"{'log' if name == 'ln' else name}({inner})"


def _relation_source(node: Relation) -> str:
    pieces = []
    for left, sign, right in node.pairs():
        first, second = tree_source(left), tree_source(right)
        if sign in {"=", "~", "!="}:
            pieces.append(f"{'Ne' if sign == '!=' else 'Eq'}({first}, {second})")
        else:
            pieces.append(f"{first} {sign} {second}")
    return pieces[0] if len(pieces) == 1 else " & ".join(f"({piece})" for piece in pieces)


_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_WORDS_FOR_SIGN = {"<=": "≤", ">=": "≥", "!=": "≠", "~": "≈"}
_WORDS_FOR_CONSTANT = {"pi": "π", "oo": "∞"}


def tree_words(node: Node) -> str:
    """Return plain notation as people write it: `-2x² + √5/3`."""
    return _words(node)[0]


def _words(node: Node) -> _Piece:  # noqa: PLR0911, PLR0912, C901 - one a kind
    match node:
        case Numeral(value, places):
            return _numeral_words(value, places)
        case Letter(name):
            return name, _ATOM
        case Constant(name):
            return _WORDS_FOR_CONSTANT.get(name, name), _ATOM
        case Sum(terms):
            return _joined_terms([_signed(term, _words) for term in terms], " − "), _SUM
        case Product(factors):
            return _product_words(factors), _PRODUCT
        case Negation(part):
            return "−" + _wrap(_words(part), _PRODUCT), _SUM
        case PlusMinus(part):
            return "±" + _wrap(_words(part), _PRODUCT), _SUM
        case Quotient(upper, lower):
            return f"{_wrap(_words(upper), _POWER)}/{_wrap(_words(lower), _POWER)}", _PRODUCT
        case Power(base, exponent):
            return _power_words(base, exponent), _POWER
        case Root(radicand, index):
            sign = {"2": "√", "3": "∛", "4": "∜"}.get(tree_words(index))
            inner = _words(radicand)
            if sign is None:
                return f"{_wrap(inner, _ATOM)}^(1/{_wrap(_words(index), _ATOM)})", _POWER
            bare = isinstance(radicand, Numeral | Letter) and inner[1] == _ATOM
            return sign + (inner[0] if bare else f"({inner[0]})"), _ATOM
        case Absolute(part):
            return f"|{tree_words(part)}|", _ATOM
        case Call(name, arguments, base):
            low = "" if base is None else f"_{_wrap(_words(base), _ATOM)}"
            return f"{name}{low}({', '.join(tree_words(part) for part in arguments)})", _ATOM
        case Relation(sides, signs):
            text = tree_words(sides[0])
            for sign, side in zip(signs, sides[1:], strict=False):
                text += f" {_WORDS_FOR_SIGN.get(sign, sign)} {tree_words(side)}"
            return text, 0


def _numeral_words(value: Fraction, places: int | None) -> _Piece:
    if places is not None and places > 0:
        whole = value * 10**places
        if whole.denominator == 1:
            digits = str(whole.numerator).rjust(places + 1, "0")
            return f"{digits[:-places]}.{digits[-places:]}", _ATOM
    return str(value), _ATOM if value.denominator == 1 else _PRODUCT


def _product_words(factors: tuple[Node, ...]) -> str:
    text = ""
    for part in factors:
        piece = _wrap(_words(part), _PRODUCT)
        glued = not text or piece[0] in "(√∛∜|" or _glued(text[-1], piece[0])
        index = bool(text) and text[-1] in "⁰¹²³⁴⁵⁶⁷⁸⁹" and piece[0] == "√"
        glued = glued and not index
        if text and (not glued or "/" in text or (piece[0] == "(" and text[-1].isalpha())):
            text += "·"
        text += piece
    return text


_SIDE_BY_SIDE = ("xyz", "abc", "mn", "rst", "uvw", "hk")
"""Letters that stand side by side as a product; others could be taken for a word."""


def _glued(before: str, after: str) -> bool:
    if not after.isalpha():
        return False
    return not before.isalpha() or any(
        before in family and after in family and before < after for family in _SIDE_BY_SIDE
    )


def _power_words(base: Node, exponent: Node) -> str:
    inner, power = _wrap(_words(base), _ATOM), tree_words(exponent)
    if isinstance(exponent, Numeral) and power.isdigit():
        return inner + power.translate(_RAISED)
    return f"{inner}^{power}" if isinstance(exponent, Letter) else f"{inner}^({power})"
