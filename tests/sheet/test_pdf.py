from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
import pypdf
import pytest

from turnsketch.errors import InputError
from turnsketch.plan_records import Finding
from turnsketch.sheet.content import SheetInput
from turnsketch.sheet.pdf import sheet_bytes, write_pdf

MARK = "4c19a07e"


@pytest.fixture(scope="session")
def reader(pin: SheetInput) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(sheet_bytes(pin)))


@pytest.fixture(scope="session")
def texts(reader: pypdf.PdfReader) -> list[str]:
    return [page.extract_text() for page in reader.pages]


def widgets(reader: pypdf.PdfReader) -> Iterator[tuple[int, Any]]:
    for number, page in enumerate(reader.pages):
        for reference in page.get("/Annots", []):
            yield number, reference.get_object()


def fonts_used(page: Any) -> set[str]:
    """Names of the fonts that a page's own text switches to."""
    fonts = page["/Resources"]["/Font"]
    content = page.get_contents().get_data().decode("latin-1").split()
    names = {content[i - 2] for i, word in enumerate(content) if word == "Tf"}
    return {str(fonts[name].get_object()["/BaseFont"]) for name in names}


def test_every_page_has_mark_title_and_n_of_m(reader: pypdf.PdfReader, texts: list[str]) -> None:
    count = len(reader.pages)
    assert count > 4
    for number, text in enumerate(texts, start=1):
        assert text.count(MARK) >= 2
        assert f"page {number} of {count}" in text
        assert "Oarlock pin" in text
        assert "diameters; Z minus is toward the chuck" in text


def test_text_is_searchable(texts: list[str]) -> None:
    whole = "\n".join(texts)
    for words in (
        "Set-up", "never beyond Z −76", "Before the first cut", "Levers and tool changes",
        "The job in pictures", "Inspection", "Ø25 h6", "24.987", "KEEP X", "face out to",
        "in 0t 48d", "STOP the spindle", "see detail A", "grip 13", "Signed", "2.6 × Ø",
        "Dry run", "Paper touch", "Trial cut", "last chance 0.003", "carriage LOCKED",
        "edge note −0.3", "blue the gauge", "Power feed: knock it off", "readout follows",
    ):  # fmt: skip
        assert words in whole, words


def test_page_text_uses_embedded_fonts_only(reader: pypdf.PdfReader) -> None:
    for page in reader.pages:
        assert all("DejaVuSans" in name for name in fonts_used(page))
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            record = font.get_object()
            if "DejaVu" in str(record["/BaseFont"]):
                assert "/FontFile2" in record["/FontDescriptor"]


def test_no_row_is_split_and_every_pass_has_one_box(reader: pypdf.PdfReader) -> None:
    names = [str(widget["/T"]) for _, widget in widgets(reader)]
    assert len(names) == len(set(names))
    passes = [name for name in names if name.startswith("s1.pass")]
    assert [n for n in passes if n.removeprefix("s1.pass").isdigit()] == [
        f"s1.pass{i}" for i in range(1, 14)
    ]


def test_measure_stop_stays_with_its_finish(reader: pypdf.PdfReader) -> None:
    pages = {str(widget["/T"]): number for number, widget in widgets(reader)}
    assert pages["s1.measure9.got1"] == pages["s1.measure9.difference"] == pages["s1.pass9"]


def test_measured_values_can_be_typed(reader: pypdf.PdfReader) -> None:
    kinds = {str(widget["/T"]): str(widget["/FT"]) for _, widget in widgets(reader)}
    assert kinds["inspect.2"] == "/Tx"
    assert kinds["inspect.2.ok"] == "/Btn"
    assert kinds["s1.tool1.x"] == "/Tx"
    assert kinds["s1.measure9.got2"] == "/Tx"
    assert all(str(widget.get("/V", "")) in ("", "/Off") for _, widget in widgets(reader))


def test_foot_counts_the_boxes_and_names_the_next_tool(
    reader: pypdf.PdfReader, texts: list[str]
) -> None:
    ticks: dict[int, int] = {}
    for number, widget in widgets(reader):
        ticks[number] = ticks.get(number, 0) + (str(widget["/FT"]) == "/Btn")
    for number, text in enumerate(texts):
        expected = f"boxes on this page: {ticks.get(number, 0)}"
        assert (expected in text) == bool(ticks.get(number))
    assert "next tool T1" in texts[0]
    assert "next tool" not in texts[-1]


def test_pass_table_heads_repeat(texts: list[str]) -> None:
    pages = [text for text in texts if "in order" in text]
    assert len(pages) > 1
    assert all("back to" in text and "depth" in text for text in pages)


def test_bookmarks(reader: pypdf.PdfReader) -> None:
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert titles == ["Set-up", "The job in pictures", "Passes", "Details", "Inspection"]


def test_fillable_boxes_lie_inside_the_page(reader: pypdf.PdfReader) -> None:
    wide, high = (float(v) for v in reader.pages[0].mediabox[2:])
    for _, widget in widgets(reader):
        left, low, right, top = (float(v) for v in widget["/Rect"])
        assert 0 < left < right < wide
        assert 0 < low < top < high


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_stop_stands_on_every_page(stopped_pin: SheetInput, paper: Any) -> None:
    pages = pypdf.PdfReader(io.BytesIO(sheet_bytes(stopped_pin, paper))).pages
    for page in pages:
        text = page.extract_text()
        assert "STOP: do not cut from this sheet: Replay: pass 12 cuts" in text
        assert text.count("do not cut from this sheet") == 2


def test_no_stop_banner_without_a_stop(texts: list[str]) -> None:
    assert all("do not cut from this sheet" not in text for text in texts)


def test_inch_sheet(inch_pin: SheetInput) -> None:
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(inch_pin, "Letter")))
    width, height = (float(v) for v in reader.pages[0].mediabox[2:])
    assert (width, height) == (792.0, 612.0)
    whole = "\n".join(page.extract_text() for page in reader.pages)
    for words in ("in, X = Ø", "1.0157", "Z −2.2756", "0.9837", "0.0079"):
        assert words in whole, words
    assert "57.800" not in whole


def test_same_plan_gives_the_same_bytes(pin: SheetInput) -> None:
    assert sheet_bytes(pin) == sheet_bytes(pin)


def test_a_simple_part_has_a_short_sheet(pin: SheetInput) -> None:
    setup = msgspec.structs.replace(
        pin.plan.setups[0],
        passes=pin.plan.setups[0].passes[:1],
        operations=pin.plan.setups[0].operations[:1],
    )
    plan = msgspec.structs.replace(pin.plan, setups=(setup,), findings=())
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(replace(pin, plan=plan))))
    whole = "\n".join(page.extract_text() for page in reader.pages)
    assert "Details" not in whole
    assert "Look at these first" not in whole
    assert "STOP the spindle. Let" not in whole


def test_setup_without_passes_still_prints(pin: SheetInput) -> None:
    setup = msgspec.structs.replace(
        pin.plan.setups[0], passes=(), operations=(), obstacles=(), part=(), tools=()
    )
    plan = msgspec.structs.replace(pin.plan, setups=(setup,))
    assert sheet_bytes(replace(pin, plan=plan)).startswith(b"%PDF")


def test_long_and_odd_words_do_not_break_the_page(pin: SheetInput) -> None:
    long = Finding("long", "caution", "very long words " * 300, 1, None, None, "x" * 900)
    odd = Finding("odd", "note", "a <b> & </para> \\ ( ) % \u2603 end", 1, None, None, "")
    plan = msgspec.structs.replace(pin.plan, findings=(long, odd))
    part = msgspec.structs.replace(pin.job.part, name="A part with a name that runs on " * 6)
    job = msgspec.structs.replace(pin.job, part=part, title="")
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(replace(pin, plan=plan, job=job))))
    whole = "\n".join(page.extract_text() for page in reader.pages)
    assert "a <b> & </para>" in whole
    assert all(f"of {len(reader.pages)}" in page.extract_text() for page in reader.pages)


def test_many_passes_break_over_pages(pin: SheetInput) -> None:
    setup = pin.plan.setups[0]
    rough = setup.passes[1]
    passes = [setup.passes[0]]
    here, reading = passes[0].moves[-1].to, passes[0].readings[-1]
    for number in range(2, 82):
        passes.append(
            msgspec.structs.replace(rough, number=number, start=here, start_reading=reading)
        )
        here, reading = rough.moves[-1].to, rough.readings[-1]
    plan = msgspec.structs.replace(
        pin.plan, setups=(msgspec.structs.replace(setup, passes=tuple(passes)),)
    )
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(replace(pin, plan=plan))))
    names = [str(widget["/T"]) for _, widget in widgets(reader)]
    assert sum(name.startswith("s1.pass") for name in names) == 81
    assert len(names) == len(set(names))


def test_empty_plan_prints(pin: SheetInput) -> None:
    plan = msgspec.structs.replace(pin.plan, setups=())
    assert sheet_bytes(replace(pin, plan=plan)).startswith(b"%PDF")


def test_a_file_that_cannot_be_written_is_one_clear_error(pin: SheetInput, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        write_pdf(pin, tmp_path / "no" / "folder.pdf")
    with pytest.raises(InputError, match="Letter"):
        sheet_bytes(pin, "A3")  # type: ignore[arg-type]


def test_typeface_holds_the_trades_signs() -> None:
    from importlib.resources import files

    from reportlab.pdfbase.ttfonts import TTFont

    for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSansMono.ttf"):
        data = (files("turnsketch.resources") / "fonts" / name).read_bytes()
        face = TTFont(f"check-{name}", io.BytesIO(data)).face
        assert all(ord(sign) in face.charToGlyph for sign in "Ø°±×−≤µ·…³°"), name
    licence = files("turnsketch.resources") / "fonts" / "LICENSE-DejaVu.txt"
    assert "Bitstream" in licence.read_text(encoding="utf-8")


def test_type_is_never_below_nine_point(pin: SheetInput) -> None:
    from turnsketch.sheet.blocks import Drawing, Grid, Stack, Words
    from turnsketch.sheet.content import sheet_content
    from turnsketch.sheet.pages import sheet_blocks

    def sizes(block: Any) -> Iterator[float]:
        if isinstance(block, Words):
            yield block.size
        elif isinstance(block, Stack):
            for inner in block.cells:
                yield from sizes(inner)
        elif isinstance(block, Grid):
            for row in block.rows:
                for cell in row.cells:
                    yield from sizes(cell)
        elif isinstance(block, Drawing):
            for item in block.picture.items:
                yield getattr(item, "size_mm", 99.0) * 72 / 25.4 if hasattr(item, "text") else 99.0

    blocks = sheet_blocks(pin, sheet_content(pin), 277.0)
    assert min(size for block in blocks for size in sizes(block)) >= 9.0
