"""One section of the part record, read: its text, and which fields its kind may have."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from turnsketch.errors import InputError
from turnsketch.part.knurl_places import with_knurl_blank
from turnsketch.part.records import Section, SectionKind
from turnsketch.part.sketch_records import SketchSection
from turnsketch.part.text import Dimension, Kind, parse
from turnsketch.part.thread_sections import with_blank
from turnsketch.units import Units

__all__ = ["read_section", "read_text"]

_KINDS: Final[dict[str, tuple[Kind, ...]]] = {
    "diameter": ("diameter",),
    "front_diameter": ("diameter",),
    "back_diameter": ("diameter",),
    "length": ("length",),
    "angle": ("angle", "ratio"),
    "radius": ("radius",),
    "centre_diameter": ("diameter",),
    "roughness": ("roughness",),
}

_ALLOWED: Final[dict[SectionKind, frozenset[str]]] = {
    "face": frozenset({"back_diameter"}),
    "cylinder": frozenset({"diameter", "length"}),
    "taper": frozenset(
        {"front_diameter", "back_diameter", "length", "angle", "narrows", "tangent"}
    ),
    "arc": frozenset(
        {
            "front_diameter",
            "back_diameter",
            "length",
            "radius",
            "sense",
            "long_way",
            "centre_diameter",
            "centre_side",
            "tangent",
        }
    ),
}

_DEFAULTS: Final[dict[str, object]] = {
    "diameter": None,
    "front_diameter": None,
    "back_diameter": None,
    "length": None,
    "angle": None,
    "narrows": False,
    "radius": None,
    "sense": None,
    "long_way": False,
    "centre_diameter": None,
    "centre_side": "above",
    "tangent": None,
}

_MAY_BE_ZERO: Final = frozenset({"front_diameter", "back_diameter", "centre_diameter"})


def read_text(
    text: str | None, units: Units, expect: Collection[Kind], path: str
) -> Dimension | None:
    """Read dimension text; the path of the field goes in front of an error."""
    if text is None:
        return None
    try:
        return parse(text, units, expect)
    except InputError as error:
        raise error.within(path) from error


def read_section(section: Section, number: int, units: Units, rule: str) -> SketchSection:
    """Read the section with that number (from 1); `rule` is the print's general tolerance.

    Raises
    ------
    InputError
        Text that can't be read, or a field that its kind does not have.
    """
    path = f"part.sections[{number - 1}]"
    # A bore's sections come with their blank diameter already.
    section = with_blank(section, inside=False, path=path)
    section = with_knurl_blank(section, units, rule, path)
    _check_fields(section, path)
    sizes = {
        field: read_text(getattr(section, field), units, kinds, f"{path}.{field}")
        for field, kinds in _KINDS.items()
    }
    for field, size in sizes.items():
        if size is not None and size.exact == 0 and field not in _MAY_BE_ZERO:
            raise InputError("it is zero; give a size above zero", f"{path}.{field}")
    return SketchSection(
        kind=section.kind,
        number=number,
        name=section.name,
        path=path,
        narrows=section.narrows,
        sense=section.sense,
        long_way=section.long_way,
        centre_below=section.centre_side == "below",
        tangent_front=section.tangent in ("front", "both"),
        tangent_back=section.tangent in ("back", "both"),
        drawn=section.drawn,
        **sizes,
    )


def _check_fields(section: Section, path: str) -> None:
    allowed = _ALLOWED[section.kind]
    for field, default in _DEFAULTS.items():
        if field not in allowed and getattr(section, field) != default:
            article = "an" if section.kind == "arc" else "a"
            words = field.replace("_", " ")
            raise InputError(
                f'{article} {section.kind} takes no "{words}"; leave it out', f"{path}.{field}"
            )
