"""JSON files read strictly: every fault is one clear line with the path inside the file.

The usual readers are too kind for a file that decides where a tool goes: of two equal keys the
last wins in silence, NaN passes, and 100,000 open brackets end in a recursion error. Here the text
is measured first, then parsed, then walked with the path in hand, and only then made into records.
"""

from __future__ import annotations

import codecs
import json
import math
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar, cast

import msgspec

from turnsketch.errors import InputError
from turnsketch.json_advice import did_you_mean, fields_at, not_json, values_at

__all__ = ["FileKind", "in_file", "inside", "normalised", "pretty", "read_file", "read_record"]

T = TypeVar("T")

MAX_BYTES = 4_000_000
"""Larger files are no job or shop file: one of 5,000 sections has about 600,000 bytes."""
MAX_DEPTH = 24
MAX_TEXT = 2_000
MAX_ITEMS = 20_000
MAX_NUMBER = 1e9
_MARKS = {
    codecs.BOM_UTF8: "UTF-8",
    codecs.BOM_UTF32_LE: "UTF-32",
    codecs.BOM_UTF32_BE: "UTF-32",
    codecs.BOM_UTF16_LE: "UTF-16",
    codecs.BOM_UTF16_BE: "UTF-16",
}
_STRING_OR_BRACKET = re.compile(r'"(?:[^"\\]|\\.)*"|[\[\]{}]')
_FORBIDDEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")
_WORDS = {
    "object": "an object {...}",
    "array": "a list [...]",
    "str": "text",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
    "null": "null",
}


class FileKind(msgspec.Struct, frozen=True):
    """What a file of one kind says of itself in its first lines."""

    words: str
    """For people: "job file"."""
    format: str
    version: int


class _Pairs(list[tuple[str, Any]]):
    """An object of the file before its keys were looked at."""


class _BadNumber:
    """A number that no size can have, as it stands in the file."""

    def __init__(self, text: str) -> None:
        self.text = text


def in_file(error: InputError, name: str) -> InputError:
    """Return `error` with the file's `name` in front of its place."""
    return InputError(error.what, f"{name}: {error.where}" if error.where else name)


@contextmanager
def inside(outer: str) -> Iterator[None]:
    """Put `outer` in front of the place of every `InputError` that is raised in the block."""
    try:
        yield
    except InputError as error:
        raise error.within(outer) from None


def read_file(path: str | Path, kind: FileKind) -> bytes:
    """Return the content of the file at `path`, no more of it than is worth reading.

    Raises
    ------
    InputError
        When it cannot be read; its place is the name of the file.
    """
    try:
        with open(path, "rb") as file:
            return file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise InputError(f"there is no such {kind.words}", str(path)) from None
    except IsADirectoryError:
        raise InputError(f"this is a folder, not a {kind.words}", str(path)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(f"the {kind.words} cannot be read ({_lower(reason)})", str(path)) from None


def read_record(data: bytes, kind: FileKind, record: type[T]) -> T:
    """Return the record that `data` holds.

    Parameters
    ----------
    data : bytes
        The whole file, UTF-8 without a byte-order mark.
    kind : FileKind
        Its ``format`` and ``version`` are asked for before anything else.
    record : type
        The msgspec struct to make.

    Raises
    ------
    InputError
        With the path inside the file wherever there is one.
    """
    tree = _parsed(_text(data, kind), kind)
    if not isinstance(tree, dict):
        raise InputError(f"a {kind.words} is one object {{...}}, and this file holds {_kind(tree)}")
    _check_heading(tree, kind)
    return _converted(tree, record)


def normalised(value: T, record: type[T]) -> T:
    """Return `value` made anew: types checked, floats finite, and no negative zero.

    Constructors of frozen structs check nothing; this is how a value made in Python is checked as
    strictly as one from a file.
    """
    try:
        tree = msgspec.to_builtins(value)
    except (TypeError, RecursionError, ValueError) as error:
        raise InputError(f"a value in it cannot stand in a file ({error})") from None
    return _converted(_clean(tree, ""), record)


def _text(data: bytes, kind: FileKind) -> str:
    if len(data) > MAX_BYTES:
        raise InputError(
            f"the file is larger than {MAX_BYTES // 1_000_000} MB, so it is no {kind.words}"
        )
    for mark, name in _MARKS.items():
        if data.startswith(mark):
            raise InputError(
                f"the file begins with a {name} byte-order mark: save it as UTF-8 without one"
            )
    if not data.strip():
        raise InputError(f"the file is empty: it should hold a {kind.words}")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError("the text is not UTF-8: save the file as UTF-8", f"line {line}") from None


def _check_depth(text: str) -> None:
    depth = 0
    for match in _STRING_OR_BRACKET.finditer(text):
        mark = match.group()
        if mark in "[{":
            depth += 1
            if depth > MAX_DEPTH:
                line = text.count("\n", 0, match.start()) + 1
                raise InputError(f"brackets are nested deeper than {MAX_DEPTH}", f"line {line}")
        elif mark in "]}":
            depth -= 1


def _number(convert: Callable[[str], float]) -> Callable[[str], float | _BadNumber]:
    def read(text: str) -> float | _BadNumber:
        if len(text) > 40:
            return _BadNumber(text)
        value = convert(text)
        return value if abs(value) <= MAX_NUMBER else _BadNumber(text)

    return read


def _parsed(text: str, kind: FileKind) -> Any:
    _check_depth(text)
    try:
        tree = json.loads(
            text,
            object_pairs_hook=_Pairs,
            parse_constant=_BadNumber,
            parse_float=_number(float),
            parse_int=_number(int),
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno} column {error.colno}"
        if error.pos >= len(text.rstrip()) or error.msg.startswith("Unterminated string"):
            raise InputError(
                f"the file stops in the middle: the rest of the {kind.words} is missing", where
            ) from None
        raise InputError(f"this is not JSON: {not_json(text, error)}", where) from None
    return _clean(tree, "")


def _lower(message: str) -> str:
    return message[:1].lower() + message[1:]


def _clean(value: Any, path: str) -> Any:
    """Return plain dicts, lists and values, refusing what no record may hold."""
    if isinstance(value, _Pairs | dict):
        return _clean_object(value, path)
    if isinstance(value, list | tuple):
        if len(value) > MAX_ITEMS:
            raise InputError(f"the list has {len(value)} items; at most {MAX_ITEMS} are read", path)
        return [_clean(item, f"{path}[{index}]") for index, item in enumerate(value)]
    if isinstance(value, str):
        return _clean_text(value, path)
    if isinstance(value, _BadNumber):
        raise InputError(f"{_short(value.text)} is no number that can be used here", path)
    if isinstance(value, float | int) and not isinstance(value, bool):
        if not math.isfinite(value) or abs(value) > MAX_NUMBER:
            raise InputError(f"{value} is no number that can be used here", path)
        return value + 0.0 if isinstance(value, float) else value
    return value


def _clean_object(value: _Pairs | dict[str, Any], path: str) -> dict[str, Any]:
    pairs = value.items() if isinstance(value, dict) else value
    result: dict[str, Any] = {}
    for key, item in pairs:
        if key in result:
            raise InputError(f"the key {_quoted(key)} stands twice", path)
        name = key if re.fullmatch(r"\w{1,40}", key, re.ASCII) else _quoted(key)
        result[key] = _clean(item, f"{path}.{name}" if path else name)
    return result


def _clean_text(value: str, path: str) -> str:
    if len(value) > MAX_TEXT:
        raise InputError(f"the text has {len(value)} letters; at most {MAX_TEXT} are read", path)
    bad = _FORBIDDEN.search(value)
    if bad:
        raise InputError(f"the text holds the control code U+{ord(bad.group()):04X}", path)
    return value


def _check_heading(tree: dict[str, Any], kind: FileKind) -> None:
    if tree.get("format") != kind.format:
        found = f"not {_shown(tree['format'])}" if "format" in tree else "and it is missing"
        raise InputError(f'a {kind.words} says "{kind.format}" here, {found}', "format")
    version = tree.get("version")
    if isinstance(version, bool) or not isinstance(version, int):
        raise InputError(
            f"a {kind.words} gives its version here, such as {kind.version}", "version"
        )
    if version > kind.version:
        raise InputError(
            f"the file is of version {version}, made by a newer program; this one reads up to "
            f"version {kind.version}",
            "version",
        )
    if version < 1:
        raise InputError(f"there is no version {version}", "version")


def _converted(tree: Any, record: type[T]) -> T:
    try:
        return msgspec.convert(tree, record)
    except msgspec.ValidationError as error:
        message, _, path = str(error).partition(" - at `")
        where = path.rstrip("`").removeprefix("$").removeprefix(".")
        raise InputError(_plain(message, tree, where, record), where) from None


def _plain(message: str, tree: Any, where: str, record: type) -> str:
    """Put the record reader's message into plain words."""
    unknown = re.fullmatch(r"Object contains unknown field `(.*)`", message, re.DOTALL)
    if unknown:
        name = unknown.group(1)
        known = fields_at(record, where)
        return f"the field {_quoted(name)} is not known here" + did_you_mean(name, known)
    missing = re.fullmatch(r"Object missing required field `(.*)`", message)
    if missing:
        return f'the field "{missing.group(1)}" is missing'
    if message.startswith("Invalid enum value"):
        value = _value_at(tree, where)
        known = values_at(record, where)
        told = "none of the values that may stand here" + did_you_mean(str(value), known, all_=True)
        return f"{_shown(value)} is {told}"
    length = re.fullmatch(r"Expected `array` of length (\d+), got (\d+)", message)
    if length:
        return f"expected {length.group(1)} values in the list, found {length.group(2)}"
    wrong = re.fullmatch(r"Expected `(.*)`, got `(.*)`", message)
    if wrong:
        expected = " or ".join(_WORDS.get(word, word) for word in wrong.group(1).split(" | "))
        found = _WORDS.get(wrong.group(2), wrong.group(2))
        value = _value_at(tree, where)
        if "str" in wrong.group(1).split(" | ") and _is_number(value):
            return f'expected text, found the number {value}: write "{value}" in quotes'
        return f"expected {expected}, found {found}"
    return _lower(message)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _value_at(tree: Any, where: str) -> Any:
    value = tree
    for name, index in re.findall(r"([^.\[\]]+)|\[(\d+)\]", where):
        value = value[name] if name else value[int(index)]
    return value


def _kind(value: Any) -> str:
    if isinstance(value, list):
        return "a list"
    return f"only {_shown(value)}"


def _shown(value: Any) -> str:
    return _short(json.dumps(value, ensure_ascii=False))


def _quoted(text: str) -> str:
    return _short(json.dumps(_FORBIDDEN.sub("?", text), ensure_ascii=False))


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."


def pretty(value: object, width: int = 96) -> bytes:
    """Return `value` as JSON for people: what fits in `width` stands on one line."""
    tree = cast("Any", msgspec.to_builtins(value))
    return ("".join(_lines(tree, 0, 0, width)) + "\n").encode("utf-8")


def _lines(value: Any, indent: int, used: int, width: int) -> Iterator[str]:
    flat = json.dumps(value, ensure_ascii=False, allow_nan=False)
    if not isinstance(value, dict | list | tuple) or used + len(flat) <= width:
        yield flat
        return
    opening, closing = ("{", "}") if isinstance(value, dict) else ("[", "]")
    keys = [f"{json.dumps(k)}: " for k in value] if isinstance(value, dict) else [""] * len(value)
    items = value.values() if isinstance(value, dict) else value
    yield opening
    for number, (key, item) in enumerate(zip(keys, items, strict=True)):
        yield ("," if number else "") + "\n" + " " * (indent + 1) + key
        yield from _lines(item, indent + 1, indent + 2 + len(key), width)
    yield "\n" + " " * indent + closing
