"""The part of the parser that divides: slashes, written ÷, ratios, mixed numbers."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import replace

from pipeline.exact.trees import MixedNumber, Node, Numeral, Product, Quotient
from pipeline.reading import marks
from pipeline.reading.pieces import bracketed
from pipeline.reading.signed import SignedTerms
from pipeline.reading.spans import Slash
from pipeline.reading.tokens import Token

__all__ = ["Quotients"]


class Quotients(SignedTerms):
    """Reads divisions and mixed numbers; `Parser` adds products and powers."""

    @abstractmethod
    def factor(self) -> Node:
        """Read a factor after an operator."""

    @abstractmethod
    def postfix(self, node: Node) -> Node:
        """Read what stands behind a number, such as a percent sign."""

    def is_ratio(self) -> bool:
        """Whether a colon stands between two numbers and nothing else is there."""
        kinds = [token.kind for token in self.tokens if token.kind not in {"-", "+"}]
        return kinds == ["number", ":", "number"]

    def divide(self, factors: list[Node], start: int) -> None:
        """Divide what was read so far by the next factor."""
        divides_fractions, loose = self.divides_fractions(), self.token.gap
        upper_settled = self.is_group(start, self.place)
        sign, below = self.take().kind, self.place
        upper = factors[0] if len(factors) == 1 else Product(tuple(factors))
        if sign == ":":
            self.remarks["a ratio read as a fraction"] = None
            self.met["ratio"] = None
        lower = [self.factor()]
        if divides_fractions and self.is_tight() and not self.other_way("division-of-fractions"):
            while self.is_tight():
                self.place += 1
                lower = [Quotient(lower[0], self.factor())]
        elif (
            sign != ":"
            and self.goes_on()
            and (loose or not self.token.gap)  # the blank of `1/2 x` sets the x apart
            and self.other_way("juxtaposed-denominator")
        ):
            while self.goes_on():
                read = self.factor if self.token.kind == "*" else self.power
                self.place += self.token.kind == "*"
                lower.append(read())
        factors[:] = [Quotient(upper, lower[0] if len(lower) == 1 else Product(tuple(lower)))]
        self.slashed = Slash(upper_settled, self.is_group(below, self.place))

    def goes_on(self) -> bool:
        """Whether a factor follows, written or implied, as in `/2*2` and `/2(2)`."""
        return self.token.kind == "*" or self.juxtaposed()

    def divides_fractions(self) -> bool:
        """Whether the sign of division ahead is a ÷, or a slash set off by blanks behind `a/b`."""
        if self.token.kind != "/":
            return self.token.kind == "÷"
        before, number = self.peek(-2), self.peek(-1)
        return self.token.gap and self.peek().gap and before.kind == "/" and not number.gap

    def is_tight(self) -> bool:
        """Whether the next token is a slash without blanks around it."""
        return self.token.kind == "/" and not self.token.gap and not self.peek().gap

    def is_group(self, start: int, end: int) -> bool:
        """Whether one pair of brackets holds all tokens of a range."""
        return bracketed(self.tokens[start:end])

    def mixed_or_power(self) -> Node:
        """Read a mixed number such as `1 1/2`, or else a power."""
        whole, upper = self.token, self.peek()
        if whole.kind != "number" or whole.places is not None or whole.value.denominator != 1:
            return self.power()
        if upper.kind == marks.FRACTION:
            return self.drawn_mixed(whole)
        slash, lower = self.peek(2), self.peek(3)
        if upper.kind == "_" and (slash.kind, lower.kind) == ("number", "/"):
            upper, slash, lower = replace(slash, gap=True), lower, self.peek(4)
            self.place += 1
        kinds = (upper.kind, slash.kind, lower.kind)
        if kinds != ("number", "/", "number") or not upper.gap or upper.places is not None:
            return self.power()
        self.place += 4
        fraction = Quotient(Numeral(upper.value), Numeral(lower.value))
        if self.other_way("mixed-number"):
            return Quotient(
                Product((Numeral(whole.value), Numeral(upper.value))), fraction.denominator
            )
        return self.postfix(MixedNumber((Numeral(whole.value), fraction)))

    def drawn_mixed(self, whole: Token) -> Node:
        """Read a whole number before a drawn fraction."""
        inner = [self.peek(ahead) for ahead in (2, 3, 4, 5)]
        kinds = [token.kind for token in inner]
        if kinds != ["number", marks.OVER, "number", marks.END_FRACTION]:
            return self.power()
        self.place += 6
        fraction = Quotient(Numeral(inner[0].value), Numeral(inner[2].value))
        if self.other_way("mixed-number"):
            return Product((Numeral(whole.value), fraction))
        return self.postfix(MixedNumber((Numeral(whole.value), fraction)))
