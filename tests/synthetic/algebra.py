"""The generator's texts and values in sympy, by a walk over Python's own syntax tree."""

from __future__ import annotations

import ast
import re
from operator import add, mul, sub, truediv

import sympy as sp

from synthetic_data.surds import Surd
from synthetic_data.values import Factors, Number, Point, Polynomial, Power, Roots, Value

_OPERATIONS = {ast.Add: add, ast.Sub: sub, ast.Mult: mul, ast.Div: truediv, ast.Pow: sp.Pow}


def expression(text: str) -> sp.Expr:
    """One side of a question, as the generator prints it."""
    text = text.replace("^", "**")
    text = re.sub(r"(\d|\))\s*(?=[a-z(])", r"\1*", text)
    text = re.sub(r"(?<![a-z])([a-z])\(", r"\1*(", text)
    return walk(ast.parse(text.strip(), mode="eval").body)


def walk(node: ast.expr) -> sp.Expr:
    """Sympy's version of a syntax tree, a few kinds of nodes only."""
    match node:
        case ast.Constant(int() as value):
            return sp.Integer(value)
        case ast.Name("i" | "I"):
            return sp.I
        case ast.Name(name):
            return sp.Symbol(name)
        case ast.UnaryOp(ast.USub(), operand):
            return -walk(operand)
        case ast.BinOp(left, operator, right):
            return _OPERATIONS[type(operator)](walk(left), walk(right))
        case ast.Call(ast.Name("sqrt"), [argument]):
            return sp.sqrt(walk(argument))
        case ast.Call(ast.Name("Rational"), [top, bottom]):
            return sp.Rational(walk(top), walk(bottom))
    raise ValueError(ast.dump(node))


def surd(value: Surd) -> sp.Expr:
    whole = sp.Rational(value.whole.numerator, value.whole.denominator)
    part = sp.Rational(value.part.numerator, value.part.denominator)
    return whole + part * sp.sqrt(value.radicand)


def in_sympy(value: Value, letter: str = "x") -> object:
    """A value: a set of solutions, a pair for a point, else an expression."""
    symbol = sp.Symbol(letter)
    match value:
        case Roots(members):
            return {surd(member) for member in members}
        case Number(content):
            return surd(content)
        case Polynomial(terms):
            return sum(sp.Rational(str(factor)) * symbol**power for power, factor in terms)
        case Factors(constant, members):
            return constant * sp.prod([p * symbol + q for p, q in members])
        case Power(coefficient, exponent):
            return sp.Rational(str(coefficient)) * symbol ** sp.Rational(str(exponent))
        case Point(x, y):
            return sp.Rational(str(x)), sp.Rational(str(y))
    raise ValueError(value)
