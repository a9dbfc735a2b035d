"""The one grammar of expressions: a precedence parser over tokens.

Where a typed form has two legitimate readings the parser notes the name of the convention in
`met`; parsing again with that name in `flipped` gives the other reading (see conventions.py).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.exact.trees import (
    Absolute,
    Call,
    Constant,
    Letter,
    MixedNumber,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    unsigned,
)
from pipeline.reading import marks
from pipeline.reading.cursor import (
    ADDED,
    ADDING,
    CLOSING,
    CURRENCY,
    Cursor,
    Slash,
    absorb_spans,
    misplaced,
    nested,
)
from pipeline.reading.records import Unread
from pipeline.reading.splitting import bracketed
from pipeline.reading.tokens import Token, is_one_dotted, repeating_numeral

_TWO = Numeral(Fraction(2))


class Parser(Cursor):
    """Reads one expression that uses every token: sums, products, powers of operands."""

    def whole(self) -> Node:
        """Read all tokens as one expression.

        Raises:
            Unread: the tokens are no expression.
        """
        while bracketed(self.tokens) and self.tokens[0].kind == "(":
            self.tokens = self.tokens[1:-1]
        alone = self.sum_beside_brackets()
        if alone and self.other_way("sum-beside-brackets"):
            start, end = alone
            self.tokens[start:end] = [Token("(", "("), *self.tokens[start:end], Token(")", ")")]
        node = self.sum(outermost=True)
        if self.place < len(self.tokens):
            raise Unread(misplaced(self.token.text))
        return node

    @nested
    def sum(self, outermost: bool = False) -> Node:
        """Read terms joined by signs."""
        around = self.slashed
        terms = [self.signed_term()]
        slashes = [self.slashed]
        while self.token.kind in ADDING:
            terms.append(self.signed_term())
            slashes.append(self.slashed)
        if len(terms) > 1 and outermost and sum(slash is not None for slash in slashes) == 1:
            terms = absorb_spans(terms, slashes, self.other_way)
        self.slashed = around
        node = terms[0] if len(terms) == 1 else Sum(tuple(terms))
        if self.token.kind == "⟋":
            self.place += 1
            node = Quotient(node, self.factor())
        return node

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

    def term(self) -> Node:
        """Read products and divisions, written or implied, from left to right."""
        start = self.place
        factors = [self.mixed_or_power()]
        while True:
            kind = self.token.kind
            if kind == "*" or (kind == "letter" and self.is_times_sign()):
                self.place += 1
                factors.append(self.factor())
            elif kind in {"/", "÷"} or (kind == ":" and self.is_ratio()):
                self.divide(factors, start)
            elif self.juxtaposed():
                factors.append(self.power())
            else:
                return factors[0] if len(factors) == 1 else Product(tuple(factors))

    def divide(self, factors: list[Node], start: int) -> None:
        """Divide what was read so far by the next factor."""
        divides_fractions, loose = self.divides_fractions(), self.token.gap
        upper_settled = self.is_group(start, self.place)
        sign, below = self.take().kind, self.place
        upper = factors[0] if len(factors) == 1 else Product(tuple(factors))
        if sign == ":":
            self.notes.remark("a ratio read as a fraction")
            self.other_way("ratio")
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

    def factor(self) -> Node:
        """Read a factor after an operator; a sign may stand before it."""
        if self.token.kind in {"-", "+", "±", "∓"}:
            kind = self.take().kind
            inner = self.nested_factor()
            if kind in {"±", "∓"}:
                return PlusMinus(inner, 1 if kind == "±" else -1)
            return Negation(inner) if kind == "-" else inner
        return self.mixed_or_power()

    @nested
    def nested_factor(self) -> Node:
        """Read a factor one level deeper."""
        return self.factor()

    def power(self) -> Node:
        """Read an operand with its exponents and what may follow a number."""
        base = self.postfix(self.primary())
        before = self.tokens[self.place - 1]
        if self.token.kind == "^":
            self.place += 1
            return self.raised(base)
        if self.token.kind == "number" and before.kind in {"letter", ")", "]", "|"}:
            if base == Constant("i"):
                return Product((base, self.power()))
            return self.lost_exponent(base)
        return base

    def raised(self, base: Node) -> Node:
        """Read an exponent and what follows it."""
        exponent = self.exponent()
        after = self.peek()
        bare = self.tokens[self.place - 1].kind == "number" and isinstance(
            unsigned(exponent), Numeral
        )
        slashed = bare and self.token.kind == "/" and after.kind == "number"
        if slashed and self.other_way("exponent-span"):
            self.place += 2
            exponent = Quotient(exponent, Numeral(after.value))
        return self.postfix(Power(base, self.wider_exponent(exponent)))

    def wider_exponent(self, exponent: Node) -> Node:
        """Let an exponent without brackets reach further where that reading is asked for."""
        joined = self.token.kind == "letter" and not self.token.gap
        if joined and self.other_way("exponent-over-product"):
            factors = [exponent]
            while self.token.kind == "letter":
                factors.append(self.power())
            exponent = Product(tuple(factors))
        if self.token.kind in {"+", "-"} and self.other_way("exponent-over-sum"):
            terms = [exponent]
            while self.token.kind in {"+", "-"}:
                terms.append(self.signed_term())
            return Sum(tuple(terms))
        return exponent

    @nested
    def exponent(self) -> Node:
        """Read a signed exponent; powers of powers go from right to left."""
        kind = self.token.kind
        if kind in {"-", "+"}:
            self.place += 1
            inner = self.exponent()
            node = Negation(inner) if kind == "-" else inner
        else:
            node = self.primary()
            if self.token.kind == "^":
                self.place += 1
                node = Power(node, self.exponent())
        return node

    def lost_exponent(self, base: Node) -> Node:
        """Read a number right behind an operand; behind brackets `5/9` is a factor."""
        bracket = self.peek(-1).kind == ")"
        number = self.take()
        fraction = bracket and self.token.kind == "/" and self.peek().kind == "number"
        small = number.places is None and 2 <= number.value <= 9 and number.value.denominator == 1
        exponent = Numeral(number.value, number.places)
        if small and not number.gap and self.other_way("exponent-lost") is fraction:
            return Power(base, exponent)
        return Product((base, exponent))

    def postfix(self, node: Node) -> Node:
        """Read percent signs, exclamation marks and stray marks."""
        while self.token.kind in {"%", "!", "°", "'", '"'}:
            kind = self.take().kind
            if kind == "%":
                if isinstance(node, Numeral) and node.value.denominator == 1:
                    node = Numeral(node.value, node.places or 0)  # 67% is as exact as 0.67
                node = node if self.other_way("percent") else Quotient(node, Numeral(Fraction(100)))
            elif kind == "!":
                if self.place < len(self.tokens) and self.token.kind != "!":
                    raise Unread("a factorial inside an expression")
                node = _factorial(node) if self.other_way("factorial") else node
            elif isinstance(node, Numeral):
                self.notes.remark("a degree sign or stray mark was set aside")
            else:
                raise Unread(misplaced(kind))
        return node

    def primary(self) -> Node:
        """Read one operand: a number, a letter, a root, a group."""
        token = self.take()
        kind = token.kind
        if kind == "number":
            return self.numeral(token)
        if kind == "letter":
            return self.letter(token.text)
        if kind == "constant":
            return Constant(token.text)
        if kind in CLOSING:
            return self.group(kind)
        if kind == "|":
            return self.absolute()
        if kind in CURRENCY and self.token.kind in {"number", "-"}:
            self.notes.remark("a currency sign was set aside")
            return self.radicand()
        return self.structure(token)

    def numeral(self, token: Token) -> Node:
        """Read a number; brackets right behind its decimals may hold the ones that repeat."""
        cycle = self.peek()
        kinds = (self.token.kind, cycle.kind, self.peek(2).kind)
        held = kinds == ("(", "number", ")") and not self.token.gap and cycle.text.isdigit()
        if token.places and held and not self.other_way("repeating-in-brackets"):
            self.place += 3
            return repeating_numeral(token.text, cycle.text)
        if is_one_dotted(token) and self.other_way("repeating-dots"):
            return repeating_numeral(token.text[:-4], token.text[-4])
        return Numeral(token.value, token.places)

    def structure(self, token: Token) -> Node:
        """Read a root, a function, a drawn fraction or a late plus-minus sign."""
        kind = token.kind
        if kind in {"√", marks.INDEX}:
            return self.root(kind)
        if kind == "function":
            return self.function(token.text)
        if kind == marks.FRACTION:
            upper = self.sum()
            self.expect(marks.OVER)
            lower = self.sum()
            self.expect(marks.END_FRACTION)
            return Quotient(upper, lower)
        if kind == "±":
            return PlusMinus(self.primary())
        raise Unread(misplaced(token.text))

    def letter(self, name: str) -> Node:
        """Read a letter with its subscript, or the imaginary unit."""
        if self.token.kind == "_":
            self.place += 1
            index = self.take()
            if index.kind == marks.GROUP:
                index = self.take()
                self.expect(marks.END_GROUP)
            if index.kind not in {"number", "letter"}:
                raise Unread("a subscript that is no number")
            return Letter(f"{name}_{index.text}")
        if name == "i" and not self.notes.context.i_is_letter:
            return Constant("i")
        return Letter(name)

    def group(self, opening: str, of_root: bool = False) -> Node:
        """Read what brackets hold."""
        bars, self.bars = self.bars, 0
        node = self.sum()
        self.expect(CLOSING[opening])
        self.bars = bars
        if opening == "[" and isinstance(node, Numeral) and not of_root:
            raise Unread("a list with one number inside an expression")
        return node

    def absolute(self) -> Node:
        """Read what bars hold."""
        self.bars += 1
        node = self.sum()
        self.expect("|")
        self.bars -= 1
        return Absolute(node)

    def root(self, kind: str) -> Node:
        """Read a radical sign, with or without index."""
        index: Node = _TWO
        if kind == marks.INDEX:
            index = self.sum()
            self.expect(marks.END_INDEX)
        return self.root_of(index, bare=True)

    @nested
    def root_of(self, index: Node, bare: bool) -> Node:
        """Read a radicand."""
        bracketed = self.token.kind in CLOSING or self.token.kind == marks.FRACTION
        start = self.place
        radicand = self.radicand()
        if bare and not bracketed and not self.continues_with_i():
            radicand = self.wider_radicand(radicand, start)
        return Root(radicand, index)

    def radicand(self) -> Node:
        """Read one signed operand under a root."""
        if self.token.kind in {"-", "+"}:
            kind = self.take().kind
            inner = self.radicand()
            return Negation(inner) if kind == "-" else inner
        if self.token.kind == "[":
            return self.group(self.take().kind, of_root=True)
        return self.primary()

    def wider_radicand(self, radicand: Node, start: int) -> Node:
        """Let a root without brackets reach further where that reading is asked for."""
        if self.ahead(ADDED) and self.other_way("root-over-sum"):
            self.place = start
            return self.sum()
        slash = self.ahead({"/"}, self.ahead(ADDED))
        if slash and self.other_way("root-over-numerator"):
            return self.between(start, slash)
        slash = self.ahead({"/"})
        if slash and self.other_way("root-over-quotient"):
            upper = self.between(start, slash)
            self.place += 1
            return Quotient(upper, self.power())
        if self.token.kind == "^" and self.other_way("root-over-power"):
            self.place = start
            return self.power()
        if self.juxtaposed() and self.other_way("root-over-product"):
            parts = [radicand]
            while self.juxtaposed():
                parts.append(self.power())
            return Product(tuple(parts))
        return radicand

    def between(self, start: int, end: int) -> Node:
        """Read the tokens of a range as one expression."""
        whole, self.tokens, self.place = self.tokens, self.tokens[:end], start
        node = self.sum()
        if self.place < end:
            raise Unread(misplaced(self.token.text))
        self.tokens = whole
        return node

    def function(self, name: str) -> Node:
        """Read a named function and its argument."""
        if name in {"sqrt", "root"}:
            if self.is_indexed_root():
                return self.root_of(self.primary(), bare=False)
            return self.root_of(_TWO, bare=True)
        if name == "frac":
            return Quotient(self.primary(), self.primary())
        if name == "cbrt":
            return self.root_of(Numeral(Fraction(3)), bare=True)
        base = None
        if name == "log" and self.is_base_in_line():
            base = self.numeral(self.take())
        elif self.token.kind == "_":
            self.place += 1
            base = self.primary()
        argument = self.primary() if self.token.kind in CLOSING else self.bare_argument()
        return Absolute(argument) if name == "abs" else Call(name, (argument,), base)

    def bare_argument(self) -> Node:
        """Read the argument of a function without brackets: all of `3x` in `ln 3x`."""
        start = self.place
        parts = [self.power()]
        if self.ahead(ADDED) and self.other_way("argument-over-sum"):
            self.place = start
            return self.sum()
        if self.ahead({"/"}) and self.other_way("argument-over-quotient"):
            self.place = start
            return self.term()
        while self.token.kind == "letter" and not self.other_way("argument-over-product"):
            parts.append(self.power())
        return parts[0] if len(parts) == 1 else Product(tuple(parts))


def _factorial(node: Node) -> Node:
    if not isinstance(node, Numeral) or node.value.denominator != 1 or node.value > 20:
        raise Unread("a factorial of something large")
    total = 1
    for factor in range(2, int(node.value) + 1):
        total *= factor
    return Numeral(Fraction(total))
