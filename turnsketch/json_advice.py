"""What a person can do about a file that cannot be read: the comma, the word that was meant."""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Iterator, Sequence

from msgspec import inspect

__all__ = ["did_you_mean", "fields_at", "not_json", "values_at"]

_MOST = 12
"""So many names are listed; of more only those that are alike."""

_STEP = re.compile(r"([^.\[\]]+)|\[(\d+|\.\.\.)\]")


def not_json(text: str, error: json.JSONDecodeError) -> str:
    """Return what is wrong where the JSON reader stopped, and the remedy."""
    before = text[: error.pos].rstrip()
    rest = text[error.pos :].lstrip()
    if rest[:1] == "," and rest[1:].lstrip()[:1] in tuple("]}"):  # some readers stop at the comma
        before, rest = before + ",", rest[1:].lstrip()
    line = before.count("\n") + 1
    if before.endswith(",") and rest[:1] in tuple("]}"):
        return f"remove the comma at the end of line {line}: nothing follows it"
    if rest[:1] in tuple("'\u2018\u2019\u201c\u201d"):
        return 'names and texts stand in straight double quotes, "so"'
    if error.msg.startswith("Expecting property name"):
        return 'the name of a field stands in double quotes, such as "name": "Pin"'
    if error.msg.startswith("Expecting ',' delimiter"):
        return f"a comma is missing at the end of line {line}, or a bracket is not closed there"
    if error.msg.startswith("Expecting ':' delimiter"):
        return "a colon is missing between a field's name and its value"
    if error.msg.startswith("Expecting value"):
        return "a value is missing here, or a text without double quotes about it"
    if error.msg.startswith("Extra data"):
        return "something follows after the last bracket: remove it"
    return error.msg[:1].lower() + error.msg[1:]


def did_you_mean(name: str, known: Sequence[str], *, all_: bool = False) -> str:
    """Return the words for a name that is none of those known: "; did you mean ...?".

    With `all_` the known ones are listed as well; they are too when none is alike.
    """
    lower = {word.lower(): word for word in known}
    close = difflib.get_close_matches(name.lower(), lower, 1, 0.6)
    *first, last = [json.dumps(word, ensure_ascii=False) for word in known] or [""]
    listed = " or ".join([", ".join(first), last] if first else [last])
    told = f"; did you mean {json.dumps(lower[close[0]], ensure_ascii=False)}?" if close else ""
    if all_ and known:
        return f": give {listed}{told}"
    if close or not known or len(known) > _MOST:
        return told
    return f"; it may be {listed}"


def fields_at(record: type, where: str) -> tuple[str, ...]:
    """Return the names of the fields that may stand at a place of a file of `record`."""
    structs = [t for t in _types_at(record, where) if isinstance(t, inspect.StructType)]
    return tuple(dict.fromkeys(field.encode_name for t in structs for field in t.fields))


def values_at(record: type, where: str) -> tuple[str, ...]:
    """Return the texts of which one must stand at a place of a file of `record`."""
    found = [
        value
        for known in _types_at(record, where)
        if isinstance(known, inspect.LiteralType)
        for value in known.values
    ]
    return tuple(str(value) for value in found)


def _types_at(record: type, where: str) -> list[inspect.Type]:
    here = list(_alternatives(inspect.type_info(record)))
    for name, index in _STEP.findall(where):
        here = [t for known in here for t in _inside(known, name, index)]
    return here


def _inside(known: inspect.Type, name: str, index: str) -> Iterator[inspect.Type]:
    """Return the types of the field `name` of a record, or of an item of a list."""
    if isinstance(known, inspect.StructType):
        for number, field in enumerate(known.fields):
            if field.encode_name == name or (known.array_like and str(number) == index):
                yield from _alternatives(field.type)
    elif isinstance(known, inspect.VarTupleType | inspect.ListType):
        yield from _alternatives(known.item_type)
    elif isinstance(known, inspect.TupleType) and index.isdigit():
        yield from _alternatives(known.item_types[int(index)])


def _alternatives(known: inspect.Type) -> Iterator[inspect.Type]:
    if isinstance(known, inspect.UnionType):
        for one in known.types:
            yield from _alternatives(one)
    else:
        yield known
