"""Formula text to a tree.

In: the text of a length. Out: a `Node`, or a `FormulaError` with the offset of the trouble.

    sum     = product (("+" | "-") product)*
    product = signed (("*" | "/") signed)*
    signed  = ("-" | "+") signed | atom [unit]
    atom    = number | name | function "(" sum ("," sum)* ")" | "(" sum ")"

Chains are kept flat, so only brackets and signs deepen the tree; their depth is bounded. A word is
a function only before a bracket and a unit only after a number or a bracket, so measures
may bear any name. How numbers and fractions are read stands in `tokens.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from booklet.measure.bounds import MAX_DEPTH, FormulaError, shown
from booklet.measure.functions import FUNCTIONS
from booklet.measure.tokens import Token, tokens
from booklet.measure.units import NAMED, UNITS
from booklet.read.nearest import did_you_mean


@dataclass(frozen=True)
class Number:
    """A plain number."""

    value: Fraction
    at: int


@dataclass(frozen=True)
class Name:
    """A measure's name."""

    name: str
    at: int


@dataclass(frozen=True)
class InUnit:
    """A number of units: `5 1/8 in`."""

    operand: Node
    unit: str
    at: int


@dataclass(frozen=True)
class Negated:
    """A minus before a value."""

    operand: Node
    at: int


@dataclass(frozen=True)
class Chain:
    """A sum or a product: the first value, then (operator, value, offset of the operator)."""

    first: Node
    rest: tuple[tuple[str, Node, int], ...]
    at: int


@dataclass(frozen=True)
class Call:
    """A function of values."""

    function: str
    values: tuple[Node, ...]
    at: int


Node = Number | Name | InUnit | Negated | Chain | Call


def parse(text: str) -> Node:
    """The tree of a formula; FormulaError `formula-not-read`, `-too-large` or `-ambiguous`."""
    return _Parser(text).whole()


def names(tree: Node) -> Iterator[Name]:
    """Every use of a measure's name in the tree, left to right."""
    match tree:
        case Name():
            yield tree
        case InUnit(operand) | Negated(operand):
            yield from names(operand)
        case Chain(first, rest):
            yield from names(first)
            for _, node, _ in rest:
                yield from names(node)
        case Call(_, values):
            for node in values:
                yield from names(node)


class _Parser:
    """Walks the tokens of one text once."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = tokens(text)
        self.next = 0
        self.depth = 0

    @property
    def token(self) -> Token:
        return self.tokens[self.next]

    def whole(self) -> Node:
        if len(self.tokens) == 1:
            raise self.fault("nothing is written here")
        tree = self.sum()
        if self.token.kind != "end":
            raise self.unexpected()
        return tree

    def sum(self) -> Node:
        first = self.product()
        rest = []
        while sign := self.take("+-"):
            rest.append((sign.text, self.product(), sign.at))
        return Chain(first, tuple(rest), rest[0][2]) if rest else first

    def product(self) -> Node:
        first = self.signed()
        rest = []
        while sign := self.take("*/"):
            rest.append((sign.text, self.signed(), sign.at))
        return Chain(first, tuple(rest), rest[0][2]) if rest else first

    def signed(self) -> Node:
        if sign := self.take("+-"):
            self.deeper(sign.at)
            operand = self.signed()
            self.depth -= 1
            return Negated(operand, sign.at) if sign.text == "-" else operand
        return self.atom()

    def atom(self) -> Node:
        token = self.token
        if token.kind == "number":
            self.next += 1
            return self.in_unit(Number(token.value, token.at))
        if token.kind == "name":
            self.next += 1
            if self.token.text == "(":
                return self.call(token)
            return Name(token.text, token.at)
        if self.take("("):
            self.deeper(token.at)
            inner = self.sum()
            self.depth -= 1
            self.close(token)
            return self.in_unit(inner)
        raise self.unexpected()

    def in_unit(self, operand: Node) -> Node:
        token = self.token
        if token.kind not in ("name", "mark"):
            return operand
        if token.text not in UNITS:
            raise self.not_a_unit(token)
        self.next += 1
        return InUnit(operand, token.text, token.at)

    def call(self, name: Token) -> Node:
        if name.text not in FUNCTIONS:
            raise FormulaError(
                "formula-not-read",
                f'"{name.text}" in "{shown(self.text)}" is no function',
                did_you_mean(name.text, FUNCTIONS),
                name.at,
            )
        bracket = self.token
        self.next += 1
        self.deeper(bracket.at)
        values = [self.sum()]
        while self.take(","):
            values.append(self.sum())
        self.depth -= 1
        self.close(bracket)
        return Call(name.text, tuple(values), name.at)

    def take(self, signs: str) -> Token | None:
        token = self.token
        if token.kind != "sign" or token.text not in signs:
            return None
        self.next += 1
        return token

    def close(self, opened: Token) -> None:
        if self.token.kind == "end":
            raise self.fault("a bracket is never closed", opened.at)
        if not self.take(")"):
            raise self.unexpected()

    def deeper(self, at: int) -> None:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise FormulaError(
                "formula-too-large",
                f'"{shown(self.text)}" has more than {MAX_DEPTH} brackets inside one another',
                "Give parts of it names in [measures].",
                at,
            )

    def not_a_unit(self, token: Token) -> FormulaError:
        if token.text[:1] in "eE" and token.text[1:].isdigit():
            return self.fault("powers of ten are not read", token.at, "Write the number out.")
        way_out = f'Write "* {token.text}" to multiply. {did_you_mean(token.text, NAMED)}'
        return self.fault(f'"{token.text}" is no unit', token.at, way_out)

    def unexpected(self) -> FormulaError:
        token = self.token
        if token.kind == "end":
            return self.fault("it ends too early", token.at)
        if token.text == ",":
            return self.fault("a comma stands here", token.at, "Write decimals with a point: 0.5.")
        before = self.tokens[self.next - 1] if self.next else None
        if token.kind != "sign" and before and before.kind != "sign":
            what = f'nothing joins "{before.text}" and "{token.text}"'
            return self.fault(what, token.at, "Write + - * or / between them.")
        return self.fault(f'"{token.text}" is not expected here', token.at)

    def fault(self, what: str, at: int | None = None, way_out: str = "") -> FormulaError:
        return FormulaError(
            "formula-not-read",
            f'"{shown(self.text)}" cannot be read: {what}',
            way_out or 'Write a length such as "5 1/8", "130 mm" or "wide + 1/4".',
            at,
        )
