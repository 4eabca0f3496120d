from __future__ import annotations

import csv
import io
from pathlib import Path

import msgspec
import pytest

from turnsketch.errors import InputError
from turnsketch.sheet.content import SheetInput
from turnsketch.sheet.csv_file import csv_text, header, write_csv


def test_one_line_a_pass_and_a_header(pin: SheetInput) -> None:
    rows = list(csv.DictReader(io.StringIO(csv_text(pin.plan), newline="")))
    passes = pin.plan.setups[0].passes
    assert len(rows) == len(passes)
    assert tuple(rows[0]) == header("mm")
    for row, step in zip(rows, passes, strict=True):
        assert int(row["pass"]) == step.number
        assert float(row["end_x_diameter_mm"]) in [r.x for r in step.readings]
        assert float(row["depth_mm"]) == pytest.approx(step.depth)
        assert row["moves"].count(";") == len(step.moves) - 1
    assert rows[8]["measure_first"] == "25.4"
    assert rows[8]["lower_mm"] == "24.987"
    assert rows[9]["drive"] == "hand"


def test_rfc_4180_line_ends_and_quotes(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    odd = msgspec.structs.replace(setup.passes[0], surface='face, "front"\nedge')
    plan = msgspec.structs.replace(
        pin.plan, setups=(msgspec.structs.replace(setup, passes=(odd,)),)
    )
    text = csv_text(plan)
    assert text.endswith("\r\n")
    assert '"face, ""front""\nedge"' in text
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    assert row["surface"] == 'face, "front"\nedge'


def test_inch_columns_say_so(inch_pin: SheetInput) -> None:
    (first, *_) = csv.DictReader(io.StringIO(csv_text(inch_pin.plan), newline=""))
    assert float(first["feed_in_per_rev"]) == pytest.approx(0.15 / 25.4, abs=1e-5)
    assert "start_x_diameter_in" in first


def test_file_is_utf8_and_a_stream_gets_the_same(pin: SheetInput, tmp_path: Path) -> None:
    target = tmp_path / "passes.csv"
    write_csv(pin.plan, target)
    stream = io.StringIO(newline="")
    write_csv(pin.plan, stream)
    assert target.read_bytes().decode("utf-8") == stream.getvalue()
    assert "Ø25 h6" in stream.getvalue()
    with pytest.raises(InputError, match="cannot be written"):
        write_csv(pin.plan, tmp_path / "no" / "folder.csv")
