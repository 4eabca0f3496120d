"""A sound job for the tests of the document, and jobs made at random that must survive a file."""

from __future__ import annotations

from hypothesis import strategies as st

from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section

PIN = Job(
    part=PartRecord(
        name="Pin",
        material="mild steel",
        sections=(
            Section(kind="cylinder", diameter="12", length="20", front_corner="1x45°"),
            Section(kind="cylinder", diameter="25 h6", length="30"),
        ),
    ),
    blank=Blank(diameter="32", length="90"),
    lathe="Slipway 1",
    setups=(Setup(holding=Holding(device="Three-jaw 160", grip="25")),),
)

_words = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), max_size=12)
_names = _words.filter(str.strip)
_sizes = st.one_of(
    st.integers(1, 300).map(str),
    st.integers(1, 3000).map(lambda n: f"{n / 10:.1f}"),
    st.integers(1, 15).map(lambda n: f"{n} h7"),
    st.integers(1, 120).map(lambda n: f"{n} ±0.05"),
)


@st.composite
def _sections(draw: st.DrawFn) -> Section:
    return Section(
        kind="cylinder",
        name=draw(_words),
        diameter=draw(_sizes),
        length=draw(_sizes),
        front_corner=draw(st.none() | st.sampled_from(["1x45°", "R0.5", "0.5x30°"])),
        roughness=draw(st.none() | st.just("Ra 1.6")),
    )


@st.composite
def _operations(draw: st.DrawFn, sections: int) -> Operation:
    return Operation(
        kind=draw(st.sampled_from(["face", "rough", "finish", "chamfer", "part off"])),
        tool=draw(st.none() | st.integers(1, 99)),
        enabled=draw(st.booleans()),
        sections=draw(
            st.none()
            | st.lists(st.integers(1, sections), min_size=1, max_size=3, unique=True).map(tuple)
        ),
        depth=draw(st.none() | _sizes),
        surface_speed=draw(st.none() | st.floats(1, 500)),
        rpm=draw(st.none() | st.floats(10, 4000)),
        reason=draw(_words),
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Return a job that the door lets in; whether it can be cut is another question."""
    sections = tuple(draw(st.lists(_sections(), min_size=1, max_size=6)))
    count = len(sections)
    lengths = (LengthDimension(Place(1, "front"), Place(count, "back"), draw(_sizes)),)
    operations = st.lists(_operations(count), min_size=1, max_size=4).map(tuple)
    return Job(
        part=PartRecord(
            name=draw(_names),
            number=draw(_words),
            sections=sections,
            lengths=draw(st.sampled_from([(), lengths])),
        ),
        blank=Blank(diameter=draw(_sizes), length=draw(_sizes), front="0"),
        lathe=draw(_names),
        setups=(
            Setup(
                holding=Holding(device=draw(_names), grip=draw(_sizes)),
                operations=draw(st.none() | operations),
            ),
        ),
        units=draw(st.sampled_from(["mm", "inch"])),
        note=draw(_words),
    )
