"""Dimension text cut into tokens, and the one sentence that says what was expected where."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Final, Literal, NoReturn

from turnsketch.errors import InputError
from turnsketch.units import Units

__all__ = ["MAX_TEXT", "Cursor", "Token", "scan"]

MAX_TEXT: Final = 80
"""Longest dimension text, in characters."""

_MAX_DIGITS: Final = 12

TokenKind = Literal["number", "vulgar", "word", "symbol", "end"]

# Signs that look alike on prints and keyboards. Each is one character for one, so that a place in
# the folded text is the same place in the text as typed.
_ALIKE: Final = {
    "Ø": "ø⌀∅",
    "-": "‐‑‒–—−﹣－",
    "+": "＋",
    "x": "X×✕✖⨯",
    "°": "º˚",
    "'": "′’‘´`",
    '"': "″”“„",
    "µ": "μ",
    "/": "⁄∕",
    ":": "∶：",
}
_FOLD: Final = {ord(odd): plain for plain, odds in _ALIKE.items() for odd in odds}

_PATTERN: Final = re.compile(
    r"""(?P<space>\ +)
    | (?P<number>[0-9]+(?:\.[0-9]*|,[0-9]+)?|[.,][0-9]+)
    | (?P<plusminus>\+\ ?/\ ?-|\+-|±)
    | (?P<times>x)
    | (?P<word>[A-Za-zµ]+(?:\.(?![0-9]))?)
    | (?P<vulgar>[¼½¾⅛⅜⅝⅞])
    | (?P<symbol>[-+/():°'"Ø])""",
    re.VERBOSE,
)

_UNITS: Final[dict[str, Units]] = {
    "mm": "mm",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    '"': "inch",
}


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of dimension text and its place in it."""

    kind: TokenKind
    text: str
    """Folded to plain signs; ± stands for "+-" and "+/-"; s for seconds of arc."""
    start: int
    end: int

    @property
    def is_integer(self) -> bool:
        """Whether it is a whole number typed without a decimal mark."""
        return self.kind == "number" and self.text.isdigit()


class Cursor:
    """A place in the tokens of one text. Lives only while that text is read."""

    def __init__(self, text: str, tokens: tuple[Token, ...]) -> None:
        self.text = text
        self._tokens = tokens
        self._at = 0

    def peek(self, ahead: int = 0) -> Token:
        """Return the token `ahead` of the place; past the last one, the end token."""
        return self._tokens[min(self._at + ahead, len(self._tokens) - 1)]

    def rest(self) -> tuple[Token, ...]:
        """Return the tokens from the place on."""
        return self._tokens[self._at :]

    def take(self) -> Token:
        """Return the token at the place and step over it."""
        token = self.peek()
        self._at += 1
        return token

    def is_symbol(self, text: str, ahead: int = 0) -> bool:
        """Whether the token `ahead` is this sign."""
        token = self.peek(ahead)
        return token.kind == "symbol" and token.text == text

    def is_word(self, *words: str, ahead: int = 0) -> bool:
        """Whether the token `ahead` is one of these words, in any case."""
        token = self.peek(ahead)
        return token.kind == "word" and token.text.lower() in words

    def accept_symbol(self, *texts: str) -> str | None:
        """Step over one of these signs and return it, or None."""
        for text in texts:
            if self.is_symbol(text):
                return self.take().text
        return None

    def accept_word(self, *words: str) -> str | None:
        """Step over one of these words and return it in small letters, or None."""
        return self.take().text.lower() if self.is_word(*words) else None

    def skip_unit(self) -> None:
        """Step over a unit of length, if one stands here."""
        if self.peek().kind in ("word", "symbol") and self.peek().text.lower() in _UNITS:
            self._at += 1

    def typed_unit(self) -> Units | None:
        """Return the unit of length that stands anywhere in the text, or None.

        Raises
        ------
        InputError
            Two different units stand in it.
        """
        found: Units | None = None
        for token in self._tokens:
            unit = _UNITS.get(token.text.lower()) if token.kind in ("word", "symbol") else None
            if unit and found and unit != found:
                self.refuse("a dimension has one unit, this has mm and inches", token.start)
            found = unit or found
        return found

    def refuse(self, sentence: str, at: int | None = None) -> NoReturn:
        """Raise an `InputError` with `sentence` and the text, and where in it."""
        raise InputError(f"{sentence} ({_marked(self.text, self._place(at))})")

    def fail(self, expected: str, such_as: str = "", at: int | None = None) -> NoReturn:
        """Raise an `InputError` that says what was expected here."""
        before = _printable(self.text[: self._place(at)].strip())
        rest = _printable(self.text[self._place(at) :].strip())
        if before and rest and expected == "nothing more":
            raise InputError(f'after "{before}" there is "{rest}" too much')
        words = f"expected {expected}" + (f' after "{before}"' if before else "")
        self.refuse(words + (f', such as "{such_as}"' if such_as else ""), at)

    def _place(self, at: int | None) -> int:
        return self.peek().start if at is None else at


def _printable(text: str) -> str:
    return "".join(char if char.isprintable() else "?" for char in text)


def _marked(text: str, at: int) -> str:
    """Return the text and where in it: ``in "25 h66", at "h66"``."""
    whole, rest = _printable(text), _printable(text[at:].strip())
    if at == 0 or not rest:
        return f'in "{whole}"' if rest else f'at the end of "{whole}"'
    return f'in "{whole}", at "{rest}"'


def _fold(text: str) -> str:
    spaced = (" " if char == "\t" or unicodedata.category(char) == "Zs" else char for char in text)
    return "".join(spaced).translate(_FOLD)


def _check_number(text: str, number: str, end: int) -> None:
    if text[end : end + 1] in (".", ","):
        raise InputError(
            "a number has one decimal mark, a point or a comma, and no mark between thousands "
            f"({_marked(text, end)})"
        )
    if len(number) > _MAX_DIGITS:
        raise InputError(
            f"a number has at most {_MAX_DIGITS} digits ({_marked(text, end - len(number))})"
        )


def _token(match: re.Match[str], before: list[Token]) -> Token:
    group, text = match.lastgroup, match[0]
    start, end = match.span()
    if group == "number":
        return Token("number", text, start, end)
    if group == "word":
        return Token("word", text.rstrip("."), start, end)
    if group == "vulgar":
        return Token("vulgar", text, start, end)
    if group == "plusminus":
        return Token("symbol", "±", start, end)
    # 30" is seconds of arc after degrees or minutes, inches elsewhere.
    arc = text == '"' and len(before) > 1 and before[-2].text in ("°", "'")
    return Token("symbol", "s" if arc else text, start, end)


def scan(text: str) -> Cursor:
    """Cut `text` into tokens.

    Raises
    ------
    InputError
        It is empty or too long, or holds a sign that no dimension has, a number too long, or a
        number with two decimal marks.
    """
    text = text.strip()
    if not text:
        raise InputError('expected a dimension, such as "25", where the text is empty')
    if len(text) > MAX_TEXT:
        raise InputError(f"a dimension has at most {MAX_TEXT} characters, this has {len(text)}")
    folded = _fold(text)
    tokens: list[Token] = []
    at = 0
    while at < len(folded):
        match = _PATTERN.match(folded, at)
        if match is None:
            sign = _printable(text[at])
            raise InputError(f'"{sign}" has no meaning in a dimension ({_marked(text, at)})')
        at = match.end()
        if match.lastgroup == "number":
            _check_number(folded, match[0], at)
        if match.lastgroup != "space":
            tokens.append(_token(match, tokens))
    tokens.append(Token("end", "", len(text), len(text)))
    return Cursor(text, tuple(tokens))
