"""More than a hundred job files, each wrong in its own way."""

from __future__ import annotations

import copy
import functools
import json
from collections.abc import Callable, Iterator
from typing import Any

from turnsketch.document.demo import demo_bytes

__all__ = ["malformed_jobs"]

SOUND = demo_bytes("stepped_pin")
WRONG_TYPES: tuple[Any, ...] = (None, True, 7, -2.5, "x", [], {}, [[]])


@functools.cache
def malformed_jobs() -> tuple[tuple[str, bytes], ...]:
    """Return pairs of what is wrong and the file's content."""
    return (*_no_json(), *_wrong_values(), *_wrong_types(), *_cut_off(), *_contradictory())


def _replaced(old: bytes, new: bytes) -> bytes:
    assert old in SOUND
    return SOUND.replace(old, new, 1)


def _no_json() -> Iterator[tuple[str, bytes]]:
    yield "empty", b""
    yield "white space", b" \n\t\n"
    yield "nothing but a brace", b"{"
    yield "a number", b"42"
    yield "a text", b'"turnsketch-job"'
    yield "null", b"null"
    yield "a list", b"[" + SOUND + b"]"
    yield "zeros", b"\0" * 500
    yield "random bytes", bytes(range(256)) * 4
    yield "a PDF", b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj"
    yield "an archive", b"PK\x03\x04\x14\0\0\0\x08\0"
    yield "UTF-8 mark", b"\xef\xbb\xbf" + SOUND
    for encoding in ("utf-16", "utf-32"):
        yield f"{encoding} mark", SOUND.decode().encode(encoding)
    yield "utf-16 without mark", SOUND.decode().encode("utf-16-le")
    yield "latin-1", SOUND.decode().replace("Rowlock", "Röwlock").encode("latin-1")
    yield "deep lists", b"[" * 100_000
    yield "deep objects", b'{"a":' * 100_000
    yield "deep in a field", _replaced(b'"mild steel"', b"[" * 100_000 + b"]" * 100_000)
    yield "huge", SOUND + b" " * 5_000_000
    yield "two jobs", SOUND + SOUND
    yield "words behind", SOUND + b"end"
    yield "comment", b"// a job\n" + SOUND
    yield "single quotes", SOUND.replace(b'"', b"'")
    yield "missing comma", _replaced(b'"version": 1,', b'"version": 1')
    yield "comma too many", SOUND.rstrip()[:-1] + b",}"
    yield "duplicate key", _replaced(b'"version": 1', b'"version": 1, "version": 1')
    yield (
        "duplicate key inside",
        _replaced(b'"diameter": "12"', b'"diameter": "12", "diameter": "13"'),
    )
    for number in (b"NaN", b"Infinity", b"-Infinity", b"1e999", b"9" * 400, b"0x10", b"+1", b".5"):
        drawn = b'"length": "22", "drawn": {"to": [' + number + b", 6]}"
        yield f"number {number[:12].decode()}", _replaced(b'"length": "22"', drawn)
    yield "raw line break in text", _replaced(b"Rowlock pin", b"Rowlock\npin")
    yield "control code in text", _replaced(b"Rowlock pin", b"Rowlock\\u0000pin")
    yield "half a letter in text", _replaced(b"Rowlock pin", b"Rowlock\\ud83d pin")
    yield "very long text", _replaced(b"Rowlock pin", b"R" * 100_000)
    yield "very long key", _replaced(b'"title"', b'"' + b"t" * 100_000 + b'"')


def _wrong_values() -> Iterator[tuple[str, bytes]]:
    changes: dict[str, Callable[[Any], object]] = {
        "no format": lambda job: job.pop("format"),
        "other format": lambda job: job.update(format="drawing"),
        "no version": lambda job: job.pop("version"),
        "version 0": lambda job: job.update(version=0),
        "version 2": lambda job: job.update(version=2),
        "version text": lambda job: job.update(version="1"),
        "version 1.5": lambda job: job.update(version=1.5),
        "version true": lambda job: job.update(version=True),
        "units": lambda job: job.update(units="cm"),
        "unknown field": lambda job: job.update(colour="green"),
        "unknown field Ø": lambda job: job["part"]["sections"][0].update({"Ø": "12"}),
        "no part": lambda job: job.pop("part"),
        "no blank": lambda job: job.pop("blank"),
        "no lathe": lambda job: job.pop("lathe"),
        "unknown lathe": lambda job: job.update(lathe="Slipway 9"),
        "unknown chuck": lambda job: job["setups"][0]["holding"].update(device="Vice"),
        "unknown material": lambda job: job["part"].update(material="wood"),
        "no setup": lambda job: job.update(setups=[]),
        "no sections": lambda job: job["part"].update(sections=[]),
        "too many sections": lambda job: job["part"].update(
            sections=job["part"]["sections"][:1] * 6000
        ),
        "kind": lambda job: job["part"]["sections"][0].update(kind="cone"),
        "foreign field": lambda job: job["part"]["sections"][0].update(radius="R3"),
        "bad text": lambda job: job["part"]["sections"][0].update(diameter="12 mm mm"),
        "bad text Ø": lambda job: job["part"]["sections"][0].update(diameter="Ø"),
        "empty text": lambda job: job["part"]["sections"][0].update(length=""),
        "unknown fit": lambda job: job["part"]["sections"][1].update(diameter="25 z99"),
        "limits upside down": lambda job: job["part"]["sections"][1].update(
            diameter="25 -0.1/-0.1"
        ),
        "negative length": lambda job: job["part"]["sections"][1].update(length="-36"),
        "zero length": lambda job: job["part"]["sections"][1].update(length="0"),
        "huge size": lambda job: job["blank"].update(length="99999999"),
        "bad chamfer": lambda job: job["part"]["sections"][0].update(front_corner="1x"),
        "bad roughness": lambda job: job["part"].update(roughness="shiny"),
        "bad tolerance": lambda job: job["part"].update(general_tolerance="ISO 9999-q"),
        "no such section": lambda job: job["part"].update(
            lengths=[
                {
                    "from": {"section": 1, "at": "front"},
                    "to": {"section": 9, "at": "back"},
                    "text": "5",
                }
            ]
        ),
        "grip longer than blank": lambda job: job["setups"][0]["holding"].update(grip="200"),
        "blank too thick for the chuck": lambda job: job["blank"].update(diameter="900"),
        "tool 0": lambda job: job["setups"][0].update(operations=[{"kind": "rough", "tool": 0}]),
        "tool not in the shop": lambda job: job["setups"][0].update(
            operations=[{"kind": "rough", "tool": 199}]
        ),
        "unknown operation": lambda job: job["setups"][0].update(operations=[{"kind": "grind"}]),
        "operation on no section": lambda job: job["setups"][0].update(
            operations=[{"kind": "rough", "sections": [5]}]
        ),
        "negative speed": lambda job: job["setups"][0].update(
            operations=[{"kind": "rough", "rpm": -5}]
        ),
        "unknown shape": lambda job: job["blank"].update(shape="oval"),
    }
    for name, change in changes.items():
        job = json.loads(SOUND)
        change(job)
        yield name, json.dumps(job, ensure_ascii=False).encode()


_PLACES: tuple[tuple[str | int, ...], ...] = (
    ("part",),
    ("blank",),
    ("setups",),
    ("title",),
    ("part", "sections", 0),
    ("part", "sections", 0, "diameter"),
    ("setups", 0, "holding"),
    ("setups", 0, "holding", "centre"),
)
_RIGHT = {"title": "x", "diameter": None, "centre": True}
"""What of the values tried is right at the places that end so."""


def _wrong_types() -> Iterator[tuple[str, bytes]]:
    for *way, last in _PLACES:
        for value in WRONG_TYPES:
            if last in _RIGHT and _RIGHT[str(last)] is value:
                continue
            job: Any = json.loads(SOUND)
            node = job
            for step in way:
                node = node[step]
            node[last] = copy.deepcopy(value)
            name = f"{'.'.join(map(str, (*way, last)))} is {json.dumps(value)}"
            yield name, json.dumps(job).encode()


def _cut_off() -> Iterator[tuple[str, bytes]]:
    whole = SOUND.rstrip()
    for share in range(1, 12):
        yield f"cut off at {share}/12", whole[: len(whole) * share // 12]
    yield "last brace missing", whole[:-1]


def _contradictory() -> Iterator[tuple[str, bytes]]:
    """Dimensions that no part can have: the solver says so."""
    job = json.loads(SOUND)
    job["part"]["lengths"] = [
        {
            "from": {"section": 1, "at": "front"},
            "to": {"section": 3, "at": "back"},
            "text": "70",
        }
    ]
    yield "lengths do not close", json.dumps(job).encode()
    job = json.loads(SOUND)
    job["part"]["sections"][0]["front_corner"] = "30x45°"
    yield "chamfer larger than its section", json.dumps(job).encode()
    job = json.loads(SOUND)
    job["part"]["sections"][1] = {"kind": "arc", "radius": "R2", "sense": "convex", "length": "36"}
    yield "arc too small for its length", json.dumps(job).encode()
