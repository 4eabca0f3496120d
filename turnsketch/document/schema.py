"""The JSON Schema of the files that other programs and people write and read."""

from __future__ import annotations

import ast
import inspect
import itertools
import textwrap
from collections.abc import Iterator
from types import ModuleType
from typing import Any, Final

import msgspec

from turnsketch import job as job_records
from turnsketch import plan_records
from turnsketch.errors import InputError
from turnsketch.part import records as part_records
from turnsketch.shop import records as shop_records

__all__ = ["SCHEMAS", "schema"]

SCHEMAS: Final[dict[str, type[msgspec.Struct]]] = {
    "job": job_records.Job,
    "plan": plan_records.Plan,
    "shop": shop_records.Shop,
}
_MODULES: Final = (job_records, part_records, plan_records, shop_records)


def schema(name: str) -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a "job", a "plan" or a "shop".

    Every record and field carries the words that stand beside it in the source.

    Raises
    ------
    InputError
        When there is no such schema.
    """
    if name not in SCHEMAS:
        raise InputError(f'there is no schema "{name}": ask for {", ".join(SCHEMAS)}')
    root = SCHEMAS[name]
    (reference,), definitions = msgspec.json.schema_components(
        [root], ref_template="#/$defs/{name}"
    )
    for record in _records():
        if record.__name__ in definitions:
            _describe(definitions[record.__name__], record)
    top = definitions[root.__name__]
    top["required"] = ["format", "version", *top.get("required", [])]
    heading = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return heading | reference | {"title": f"turnsketch {name}", "$defs": definitions}


def _records() -> Iterator[type[msgspec.Struct]]:
    for module in _MODULES:
        yield from _structs(module)


def _structs(module: ModuleType) -> Iterator[type[msgspec.Struct]]:
    for value in vars(module).values():
        if isinstance(value, type) and issubclass(value, msgspec.Struct):
            yield value


def _describe(definition: dict[str, Any], record: type[msgspec.Struct]) -> None:
    """Put the words under each field of `record` into its schema."""
    words = _field_words(record)
    names = zip(record.__struct_fields__, record.__struct_encode_fields__, strict=True)
    for field, written in names:
        if field in words:
            definition["properties"][written]["description"] = words[field]


def _field_words(record: type[msgspec.Struct]) -> dict[str, str]:
    """Return the text that stands as a string under each field in the source of `record`."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(record)))
    body = tree.body[0].body if isinstance(tree.body[0], ast.ClassDef) else []
    words: dict[str, str] = {}
    for field, below in itertools.pairwise(body):
        if (
            isinstance(field, ast.AnnAssign)
            and isinstance(field.target, ast.Name)
            and isinstance(below, ast.Expr)
            and isinstance(below.value, ast.Constant)
        ):
            words[field.target.id] = " ".join(str(below.value.value).split())
    return words
