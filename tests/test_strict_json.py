"""The strict reader: every fault of a file is one line with its place."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any, Literal

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.errors import InputError
from turnsketch.strict_json import FileKind, normalised, pretty, read_file, read_record

KIND = FileKind("test file", "test", 2)


class Inner(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    size: float = 0.0
    count: int = 0
    side: Literal["left", "right"] = "left"


class Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    format: str
    version: int
    items: tuple[Inner, ...] = ()
    text: str = ""
    at: tuple[int, Inner] | None = None


def read(body: str) -> Record:
    return read_record(f'{{"format": "test", "version": 2{body}}}'.encode(), KIND, Record)


def fault(body: str) -> InputError:
    with pytest.raises(InputError) as caught:
        read(body)
    assert "\n" not in str(caught.value)
    return caught.value


def test_reads_a_record() -> None:
    assert read(', "items": [{"size": 2}, {"count": 3}]') == Record(
        "test", 2, (Inner(size=2.0), Inner(count=3))
    )


@pytest.mark.parametrize(
    ("body", "where", "words"),
    [
        (', "items": [{"size": "2"}]', "items[0].size", "expected a number, found text"),
        (', "items": [{"size": true}]', "items[0].size", "true or false"),
        (', "items": [{"size": null}]', "items[0].size", "found null"),
        (', "items": [{"count": 1.5}]', "items[0].count", "expected a whole number"),
        (', "items": [{"siez": 1}]', "items[0]", '"siez" is not known'),
        (', "items": {}', "items", "expected a list"),
        (', "items": [{"size": 1, "size": 1}]', "items[0]", '"size" stands twice'),
        (', "items": [{"size": NaN}]', "items[0].size", "NaN"),
        (', "items": [{"size": -Infinity}]', "items[0].size", "-Infinity"),
        (', "items": [{"size": 1e999}]', "items[0].size", "1e999"),
        (', "items": [{"size": 1e300}]', "items[0].size", "1e300"),
        (', "items": [{"count": ' + "9" * 5000 + "}]", "items[0].count", "999..."),
        (', "text": "a\\u0007"', "text", "U+0007"),
        (', "text": "\\ud800"', "text", "U+D800"),
        (', "text": "' + "x" * 2001 + '"', "text", "2001 letters"),
    ],
)
def test_names_the_place_and_the_fault(body: str, where: str, words: str) -> None:
    error = fault(body)
    assert error.where == where
    assert words in error.what


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b" \n", "empty"),
        (b"\xef\xbb\xbf{}", "UTF-8 byte-order mark"),
        ('{"format": "test"}'.encode("utf-16"), "UTF-16 byte-order mark"),
        (b'{"format": "t\xff"}', "not UTF-8"),
        (b"[" * 100_000, "nested deeper"),
        (b'{"a":' * 100_000, "nested deeper"),
        (b"[1, 2]", "holds a list"),
        (b"7", "holds only 7"),
        (b"{", "stops in the middle"),
        (b'{"format": "te', "stops in the middle"),
        (b'{"format": "test", ', "stops in the middle"),
        (b'{"format": "test"} x', "not JSON"),
        (b'{format: "test"}', "not JSON"),
        (b'{"format": "other", "version": 1}', '"test" here, not "other"'),
        (b'{"version": 1}', "it is missing"),
        (b'{"format": "test"}', "gives its version"),
        (b'{"format": "test", "version": "2"}', "gives its version"),
        (b'{"format": "test", "version": true}', "gives its version"),
        (b'{"format": "test", "version": 0}', "no version 0"),
        (b'{"format": "test", "version": 3}', "newer program"),
        (b'{"format": "test", "version": 2, "text": "' + b"x" * 4_000_000, "larger than 4 MB"),
    ],
)
def test_refuses_files_that_are_none(data: bytes, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_record(data, KIND, Record)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ('{"a": 1,\n "b": [1,\n 2,\n ]}', "remove the comma at the end of line 3"),
        ('{"a": 1,\n "b": 2,\n\n}', "remove the comma at the end of line 2"),
        ('{"a": 1,\n lathe: "x"}', "the name of a field stands in double quotes"),
        ("{\"a\": 'x'}", "straight double quotes"),
        ('{"a": \u201cx\u201d}', "straight double quotes"),
        ('{"a": 1\n "b": 2}', "a comma is missing at the end of line 1"),
        ('{"a" 1}', "a colon is missing"),
        ('{"a": mild steel}', "a text without double quotes"),
        ('{"a": 1} x', "after the last bracket"),
    ],
)
def test_what_is_no_json_gets_its_remedy(data: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_record(data.encode("utf-8"), KIND, Record)
    assert words in caught.value.what
    assert caught.value.where.startswith("line ")


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (', "items": [{"siez": 1}]', 'did you mean "size"?'),
        (', "items": [{"colour": 1}]', 'it may be "size", "count" or "side"'),
        (', "items": [{"side": "lift"}]', 'give "left" or "right"; did you mean "left"?'),
        (', "items": [{"side": "top"}]', 'give "left" or "right"'),
        (', "text": 25', 'found the number 25: write "25" in quotes'),
        (', "text": true', "expected text, found true or false"),
        (', "at": [1, {"siez": 2}]', 'did you mean "size"?'),
    ],
)
def test_what_was_meant_is_proposed(body: str, words: str) -> None:
    assert words in fault(body).what


def test_brackets_inside_text_do_not_count_as_nesting() -> None:
    assert read(', "text": "' + '[{\\"' * 100 + '"').text == '[{"' * 100


def test_negative_zero_becomes_zero() -> None:
    record = read(', "items": [{"size": -0.0}]')
    assert math.copysign(1.0, record.items[0].size) == 1.0


def test_normalised_checks_what_constructors_do_not() -> None:
    with pytest.raises(InputError) as caught:
        normalised(Record("test", 2, (Inner(size=math.nan),)), Record)
    assert caught.value.where == "items[0].size"
    with pytest.raises(InputError):
        normalised(Record("test", 2, text=5), Record)  # type: ignore[arg-type]
    with pytest.raises(InputError):
        normalised(Record("test", 2, text=object()), Record)  # type: ignore[arg-type]


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers(-1000, 1000) | st.text(max_size=9),
        lambda inner: st.lists(inner, max_size=5) | st.dictionaries(st.text(max_size=4), inner),
        max_leaves=30,
    )
)
def test_pretty_is_the_same_json_on_more_lines(value: Any) -> None:
    assert json.loads(pretty(value, width=20)) == value
    assert pretty(value, width=10_000).count(b"\n") == 1


def test_reading_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    for path, words in (
        (tmp_path / "none.json", "no such test file"),
        (tmp_path, "a folder"),
        (tmp_path / "a\0b", "cannot be read"),
        (tmp_path / ("x" * 400), "cannot be read"),
    ):
        with pytest.raises(InputError) as caught:
            read_file(path, KIND)
        assert words in caught.value.what
        assert caught.value.where == str(path)
