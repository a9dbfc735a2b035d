"""Trees printed the way people and programs type them, for round trips through the reader."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import (
    Absolute,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
)

SUPERSCRIPTS = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


def plain(node: Node) -> str:  # noqa: PLR0911, C901 - one a kind
    match node:
        case Numeral(value):
            return str(value) if value.denominator == 1 else f"({value})"
        case Letter(name) | Constant(name):
            return name
        case Negation(part):
            return f"-({plain(part)})"
        case Sum(terms):
            return "(" + " + ".join(plain(term) for term in terms) + ")"
        case Product(factors):
            return "*".join(f"({plain(factor)})" for factor in factors)
        case Quotient(upper, lower):
            return f"(({plain(upper)})/({plain(lower)}))"
        case Power(base, exponent):
            return f"({plain(base)})^({plain(exponent)})"
        case Root(radicand, index):
            if index == Numeral(Fraction(2)):
                return f"sqrt({plain(radicand)})"
            return f"({plain(radicand)})^(1/({plain(index)}))"
        case Absolute(part):
            return f"abs({plain(part)})"
    raise TypeError(node)


def unicode_text(node: Node) -> str:
    match node:
        case Negation(part):
            return f"−({unicode_text(part)})"
        case Sum(terms):
            return "(" + " + ".join(unicode_text(term) for term in terms) + ")"
        case Product(factors):
            return "·".join(f"({unicode_text(factor)})" for factor in factors)
        case Quotient(upper, lower):
            return f"(({unicode_text(upper)})∕({unicode_text(lower)}))"
        case Power(base, Numeral(value)) if value.denominator == 1:
            return f"({unicode_text(base)})" + str(value).translate(SUPERSCRIPTS)
        case Root(radicand, Numeral(value)) if value in {2, 3, 4}:
            return {2: "√", 3: "∛", 4: "∜"}[int(value)] + f"({unicode_text(radicand)})"
        case Absolute(part):
            return f"|({unicode_text(part)})|"
    return plain(node)


def latex(node: Node) -> str:  # noqa: PLR0911 - one a kind
    match node:
        case Numeral(value) if value.denominator != 1:
            return rf"\frac{{{value.numerator}}}{{{value.denominator}}}"
        case Negation(part):
            return rf"-\left({latex(part)}\right)"
        case Sum(terms):
            return r"\left(" + " + ".join(latex(term) for term in terms) + r"\right)"
        case Product(factors):
            return r" \cdot ".join(rf"\left({latex(factor)}\right)" for factor in factors)
        case Quotient(upper, lower):
            return rf"\left(\dfrac{{{latex(upper)}}}{{{latex(lower)}}}\right)"
        case Power(base, exponent):
            return rf"\left({latex(base)}\right)^{{{latex(exponent)}}}"
        case Root(radicand, index):
            shown = "" if index == Numeral(Fraction(2)) else f"[{latex(index)}]"
            return rf"\sqrt{shown}{{{latex(radicand)}}}"
        case Absolute(part):
            return rf"\left|\left({latex(part)}\right)\right|"
    return plain(node)


def mathml(node: Node) -> str:
    return f'<math xmlns="http://www.w3.org/1998/Math/MathML">{_element(node)}</math>'


def _element(node: Node) -> str:  # noqa: PLR0911, C901 - one a kind
    match node:
        case Numeral(value) if value.denominator == 1:
            return f"<mn>{value}</mn>"
        case Numeral(value):
            return f"<mfrac><mn>{value.numerator}</mn><mn>{value.denominator}</mn></mfrac>"
        case Letter(name) | Constant(name):
            return f"<mi>{name}</mi>"
        case Negation(part):
            return f"<mrow><mo>−</mo>{_fenced(part)}</mrow>"
        case Sum(terms):
            return (
                "<mrow><mo>(</mo>" + "<mo>+</mo>".join(map(_element, terms)) + "<mo>)</mo></mrow>"
            )
        case Product(factors):
            return "<mrow>" + "<mo>&#x2062;</mo>".join(map(_fenced, factors)) + "</mrow>"
        case Quotient(upper, lower):
            return f"<mfrac><mrow>{_element(upper)}</mrow><mrow>{_element(lower)}</mrow></mfrac>"
        case Power(base, exponent):
            return f"<msup>{_fenced(base)}<mrow>{_element(exponent)}</mrow></msup>"
        case Root(radicand, index):
            if index == Numeral(Fraction(2)):
                return f"<msqrt>{_element(radicand)}</msqrt>"
            return f"<mroot><mrow>{_element(radicand)}</mrow>{_element(index)}</mroot>"
        case Absolute(part):
            return f"<mrow><mo>|</mo>{_fenced(part)}<mo>|</mo></mrow>"
    raise TypeError(node)


def _fenced(node: Node) -> str:
    return f"<mfenced>{_element(node)}</mfenced>"
