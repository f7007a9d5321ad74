"""Ordinary notation: a formula that a person typed becomes a few plain steps. No program text is run, ever.

A formula is read once, from left to right, with a bound on its length and on brackets within brackets. What could be
read in two ways is asked back, since calculators do not agree about it.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from controlkit.checking.unit_slips import UNIT_WORDS
from controlkit.units import InputError

LONGEST = 400
"""Most characters of a formula [-]."""

DEEPEST = 30
"""Most brackets, powers and signs within one another [-]."""

_ALIKE = str.maketrans(
    {
        **dict.fromkeys("−–—‐‑‒﹣－", "-"),
        **dict.fromkeys("×·⋅∙•∗✕", "*"),
        **dict.fromkeys("÷∕⁄", "/"),
        **dict.fromkeys("[{", "("),
        **dict.fromkeys("]}", ")"),
        "µ": "μ",
        "º": "°",
        "√": " sqrt ",
        "＋": "+",
    }
)
"""Signs that stand for one another."""

_SUPERSCRIPT = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")

_TOKEN = re.compile(r"\s*(?:(\d+(?:[.,]\d+)*|[.,]\d+)|([^\W\d]\w*)|(\*\*|[-+*/^()°%]))")

_TURNING: dict[str, Callable[[float], float]] = {"sin": math.sin, "cos": math.cos, "tan": math.tan}

_PLAIN: dict[str, Callable[[float], float]] = {
    "sqrt": math.sqrt,
    "exp": math.exp,
    "ln": math.log,
    "log10": math.log10,
    "asin": math.asin,
    "acos": math.acos,
    "atan": math.atan,
    "radians": math.radians,
    "degrees": math.degrees,
    "abs": abs,
}

_CONSTANTS = {"pi": math.pi, "π": math.pi, "e": math.e}

RESERVED = frozenset({*_TURNING, *_PLAIN, *_CONSTANTS, "log"})
"""Names that a formula's own quantities cannot have."""

Step = tuple[str, float]
"""A number or the name of what is done with those before it, and the number."""


@dataclass(frozen=True)
class Read:
    """A formula as it was read.

    Parameters
    ----------
    steps : tuple
        What is done, one after the other; each takes its numbers from those that came before
    uses : frozenset of str
        Names that stand in it
    turns : bool
        Whether a sine, cosine or tangent stands in it
    """

    steps: tuple[Step, ...] = field(repr=False)
    uses: frozenset[str]
    turns: bool

    def value(self, given: Mapping[str, float], *, one_turn: float = 2 * math.pi) -> float | None:
        """What the formula comes to.

        Parameters
        ----------
        given : mapping
            Name to number [unit]
        one_turn : float
            What a full turn is to sine, cosine and tangent: in radians, unless said otherwise [rad]

        Returns
        -------
        float or None
            None where it has no finite value [unit]

        Examples
        --------
        >>> round(read_formula("60 e^(-mu bends°)", ["mu", "bends"]).value({"mu": 0.1, "bends": 90}), 2)
        51.28
        >>> read_formula("9^9^9^9", ["x"]).value({"x": 1.0}) is None
        True
        """
        waiting: list[float] = []
        try:
            for does, number in self.steps:
                if does == "number":
                    waiting.append(number)
                elif does in given:
                    waiting.append(float(given[does]))
                elif does in _TURNING:
                    waiting.append(_TURNING[does](waiting.pop() * (2 * math.pi / one_turn)))
                elif does in _PLAIN:
                    waiting.append(_PLAIN[does](waiting.pop()))
                else:
                    last = waiting.pop()
                    waiting.append(_two(does, waiting.pop(), last))
        except (ArithmeticError, ValueError):
            return None
        return waiting[0] if abs(waiting[0]) < math.inf else None


def _two(does: str, one: float, other: float) -> float:
    """One of the operations on two numbers."""
    if does == "^":
        return math.pow(one, other)
    return one + other if does == "+" else one - other if does == "-" else one * other if does == "*" else one / other


def read_formula(text: str, names: Sequence[str], also: Mapping[str, str] | None = None) -> Read:
    """Read a formula in ordinary notation.

    Parameters
    ----------
    text : str
        As it was typed: ``+ - * / ^`` (also ``**``, ``×``, ``·``, any dash), brackets, ``2 x``, ``3(a + b)``,
        decimal points or commas, ``°`` and ``%``, ``pi``, ``e``, ``sqrt exp ln log10 sin cos tan asin acos atan
        radians degrees abs``. Sines, cosines and tangents take radians
    names : sequence of str
        Names that may stand in it
    also : mapping, optional
        Other spellings, each to its name

    Returns
    -------
    Read
        What is done, one step after the other

    Raises
    ------
    InputError
        If it cannot be read, or can be read in two ways

    Examples
    --------
    >>> read_formula("3(a + 2 b)²", ["a", "b"]).value({"a": 1.0, "b": 0.5})
    12.0
    """
    if len(text) > LONGEST:
        raise InputError(given="That is very long for a formula.", do=f"Write it with at most {LONGEST} characters.")
    reader = _Parser(_tokens(text), tuple(names), {**{name: name for name in names}, **(also or {})})
    reader.sum(0)
    left = reader.peek()
    if left == ")":
        raise InputError(given="There is one closing bracket too many.", do="Count the brackets on both sides.")
    if left:
        raise InputError(given=f"It cannot be read from “{left}” on.", do="What stands between there and before it?")
    return Read(tuple(reader.steps), frozenset(reader.uses), reader.turns)


def _tokens(text: str) -> list[str]:
    """Numbers, names and signs, in their order."""
    plain = re.sub(r"([⁰¹²³⁴-⁹⁺⁻]+)", lambda found: f"^({found[1].translate(_SUPERSCRIPT)})", text).translate(_ALIKE)
    if "=" in plain:
        raise InputError(given="There is an equals sign in it.", do="Write only what stands on its right.")
    found, at = [], 0
    plain = plain.rstrip()
    while at < len(plain):
        token = _TOKEN.match(plain, at)
        if token is None:
            sign = plain[at:].strip()[0]
            raise InputError(
                given=f"“{sign}” is not known in a formula.",
                allowed="Use + - * / ^ and round brackets.",
                do="A comma only stands within a number, as in 0,5." if sign in ",;" else "",
            )
        at = token.end()
        found.append("^" if token[0].strip() == "**" else token[0].strip())
    _not_both(found)
    return found


def _not_both(tokens: Sequence[str]) -> None:
    """Ask back numbers that can be read in two ways."""
    for one, following in zip(tokens, [*tokens[1:], ""], strict=False):
        if one[0] not in "0123456789.,":
            continue
        if re.fullmatch(r"e\d*", following, re.IGNORECASE) and _beside(tokens, one, following):
            raise InputError(
                given=f"“{one}{following}” may mean a power of ten, or the number e.",
                do=f"Write {one} * 10^( ) for the one, {one} * e for the other.",
            )
        if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", one) and "," in one:
            raise InputError(
                given=f"“{one}” may mean a decimal comma, or thousands.",
                do=f"Write {one.replace(',', '.')} or {one.replace(',', '')}.",
            )
        if len(re.findall("[.,]", one)) > 1:
            raise InputError(given=f"“{one}” is not one number.", do="Write a number with one point or comma at most.")


def _beside(tokens: Sequence[str], number: str, name: str) -> bool:
    """Whether a number is followed by an e that may begin a power of ten: 2e3, or 2e-3."""
    at = next(k for k in range(len(tokens) - 1) if tokens[k] == number and tokens[k + 1] == name)
    rest = [*tokens[at + 2 : at + 4], "", ""]
    return len(name) > 1 or (rest[0] in ("+", "-") and rest[1][:1].isdecimal())


class _Parser:
    """Reads sums of products of powers, and notes the steps."""

    def __init__(self, tokens: list[str], names: tuple[str, ...], spellings: Mapping[str, str]) -> None:
        self.tokens, self.names = tokens, names
        self.spellings = {one.casefold(): name for one, name in spellings.items()}
        self.steps: list[Step] = []
        self.uses: set[str] = set()
        self.turns, self.at = False, 0

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        self.at += 1
        return self.tokens[self.at - 1]

    def sum(self, depth: int) -> None:
        self.product(depth)
        while self.peek() in ("+", "-"):
            sign = self.take()
            self.product(depth)
            self.steps.append((sign, 0.0))

    def product(self, depth: int) -> None:
        self.signed(depth)
        divided = False
        while self.peek() in ("*", "/") or self.begins():
            if self.peek() in ("*", "/"):
                sign = self.take()
                divided = sign == "/"
            else:
                if divided:
                    raise InputError(
                        given=f"It is not clear whether “{self.peek()}” stands below the line too, after the division.",
                        do="Put brackets round all that stands below, and write * for times.",
                    )
                sign = "*"
            self.signed(depth)
            self.steps.append((sign, 0.0))

    def signed(self, depth: int) -> None:
        if depth > DEEPEST:
            raise InputError(
                given="There are too many brackets, powers or signs within one another.",
                do="Write it more simply.",
            )
        if self.peek() in ("+", "-"):
            minus = self.take() == "-"
            self.signed(depth + 1)
            self.steps += [("number", -1.0), ("*", 0.0)] if minus else []
        else:
            self.power(depth)

    def power(self, depth: int) -> None:
        self.single(depth)
        if self.peek() != "^":
            return
        self.take()
        self.signed(depth + 1)
        if self.begins() and self.tokens[self.at - 1] != ")":
            raise InputError(
                given=f"It is not clear whether “{self.peek()}” still stands in the exponent.",
                do="Put brackets round the whole exponent, and write * for times.",
            )
        self.steps.append(("^", 0.0))

    def begins(self) -> bool:
        """Whether a number, a name or a bracket follows without a sign."""
        return self.peek()[:1] == "(" or self.peek()[:1].isalnum() or self.peek()[:1] in (*"_.,",)

    def single(self, depth: int) -> None:
        self.one(depth)
        while self.peek() in ("°", "%"):
            self.steps += [("number", math.pi / 180 if self.take() == "°" else 0.01), ("*", 0.0)]

    def one(self, depth: int) -> None:
        token = self.peek()
        if token == "(":
            self.bracket(depth)
        elif token[:1].isdecimal() or token[:1] in (".", ","):
            self.steps.append(("number", float(self.take().replace(",", "."))))
            if self.peek()[:1].isdecimal():
                raise InputError(given="Two numbers stand side by side.", do="Which sign belongs between them?")
        elif token and self.begins():
            self.name(self.take(), depth)
        else:
            before = self.tokens[self.at - 1] if self.at else ""
            wants = f"after “{before}”" if before else f"before “{token}”" if token else ""
            missing = f"Something is missing {wants}".rstrip()
            raise InputError(given=f"{missing}.", do="Which number or name belongs there?")

    def bracket(self, depth: int) -> None:
        self.take()
        self.sum(depth + 1)
        if self.peek() != ")":
            raise InputError(
                given="A bracket is opened and not closed."
                if not self.peek()
                else f"“{self.peek()}” stands where a bracket should be closed.",
                do="Count the brackets on both sides.",
            )
        self.take()

    def name(self, word: str, depth: int) -> None:
        plain = word.casefold()
        if plain in self.spellings:
            self.uses.add(self.spellings[plain])
            self.steps.append((self.spellings[plain], 0.0))
        elif plain == "log":
            raise InputError(
                given="“log” may mean two things.",
                do="Write ln for the natural logarithm, log10 for the one to base 10.",
            )
        elif plain in _TURNING or plain in _PLAIN:
            if self.peek() != "(":
                raise InputError(
                    given=f"{plain} needs brackets.", do=f"Write {plain}( ), with what it is taken of in them."
                )
            self.turns = self.turns or plain in _TURNING
            self.bracket(depth)
            self.steps.append((plain, 0.0))
        elif plain in _CONSTANTS:
            if plain == "e" and self.peek() == "(":
                raise InputError(given="“e(” is not clear.", do="For a power of e write e^( ), for a product e * ( ).")
            self.steps.append(("number", _CONSTANTS[plain]))
        else:
            raise self.unknown(word)

    def unknown(self, word: str) -> InputError:
        """What to say of a name that is none of the names."""
        plain = word.casefold()
        shown = word if len(word) <= 30 else f"{word[:30]}…"
        near = difflib.get_close_matches(plain[:80], list(self.spellings), n=1, cutoff=0.7)
        two = next((f"{a} * {b}" for a in self.spellings for b in self.spellings if a + b == plain), "")
        do = f"If you mean {two}, write it so. " if two else ""
        do = do or (f"If you mean {self.spellings[near[0]]}, write it so. " if near else "")
        if not do and word in UNIT_WORDS:
            do = "Units do not stand in a formula. "
        return InputError(
            given=f"“{shown}” is none of the names here.", do=f"{do}The names are {', '.join(self.names)}."
        )
