"""Terms with the signs before them: minus, plus-minus, two minus signs."""

from __future__ import annotations

from pipeline.exact.trees import Negation, Node, PlusMinus, Power, Sum
from pipeline.reading.levels import nested
from pipeline.reading.operands import Operands
from pipeline.reading.spans import Slash

__all__ = ["ADDING", "SignedTerms"]

ADDING = frozenset({"+", "-", "±", "∓", "+-", "-+"})
"""Signs between terms, or before one."""


class SignedTerms(Operands):
    """The middle part of the parser: a term and its signs."""

    slashed: Slash | None = None
    """The slash that divided the term read last."""

    def signed_term(self) -> Node:
        """Read a term with all signs before it."""
        kind = self.token.kind
        self.slashed = None
        if kind not in ADDING:
            return self.term()
        self.place += 1
        if kind == "+" or (kind == "+-" and self.other_way("plus-minus-typed")):
            rest = self.nested_sign()
            return rest if kind == "+" else Negation(rest)
        if kind == "-":
            return self.double_minus() if self.token.kind == "-" else self.negated()
        if kind == "-+":
            if self.other_way("plus-minus-typed"):
                return Negation(self.nested_sign())
            return PlusMinus(self.nested_sign(), -1)
        return PlusMinus(self.nested_sign(), -1 if kind == "∓" else 1)

    def negated(self) -> Node:
        """Read what a minus sign stands before, and note where its reach can be doubted."""
        start = self.place
        rest = self.nested_sign()
        plain = self.tokens[start].kind == "number"
        if plain and isinstance(rest, Power) and self.other_way("minus-before-power"):
            return Power(Negation(rest.base), rest.exponent)
        if plain and isinstance(rest, Sum) and self.other_way("mixed-sign"):
            return Sum((Negation(rest.terms[0]), rest.terms[1]))
        return Negation(rest)

    @nested
    def nested_sign(self) -> Node:
        """Read a signed term one level deeper."""
        return self.signed_term()

    def double_minus(self) -> Node:
        """Read what follows two minus signs."""
        self.place += 1
        if self.other_way("double-minus"):
            return Negation(self.nested_sign())
        return Negation(Negation(self.nested_sign()))
