from __future__ import annotations

from turnsketch.sheet.wrap import LEAST_SIZE, MOST_LINES, NARROWEST, fitted, wrapped


def width(text: str) -> float:
    return float(len(text))


def sized(text: str, size: float) -> float:
    return len(text) * size / 10


def test_lines_are_not_wider_than_the_room() -> None:
    text = "a long sentence that must be broken and averyveryverylongword in it"
    lines = wrapped(text, 12, width)
    assert max(len(line) for line in lines) <= 12
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_axis_letter_stays_with_its_figure() -> None:
    assert wrapped("measure at Z −55 now", 13, width) == ["measure at", "Z −55 now"]


def test_newlines_are_kept_and_long_texts_end() -> None:
    assert wrapped("a\nb", 9, width) == ["a", "b"]
    assert wrapped("", 9, width) == []
    lines = wrapped("word " * 500, 9, width)
    assert len(lines) == MOST_LINES
    assert lines[-1].endswith("…")


def test_fitting_narrows_first_then_shrinks_then_shortens() -> None:
    assert fitted("abc", 10, 11, sized) == ("abc", 11, 1.0)
    _, size, narrow = fitted("x" * 10, 10, 11, sized)
    assert size == 11
    assert NARROWEST <= narrow < 1
    _, size, narrow = fitted("x" * 10, 8, 11, sized)
    assert LEAST_SIZE <= size < 11
    assert size * 10 / 10 * narrow <= 8.001
    text, size, narrow = fitted("x" * 100, 10, 11, sized)
    assert text.endswith("…")
    assert sized(text, size) * narrow <= 10.001
