"""Parts of the boatyard that need both their ends, and random stepped ones."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from turnsketch.checking.replay import replay
from turnsketch.geometry.constants import GOUGE
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.plan_records import Plan


def cylinder(
    diameter: str, length: str, front: str | None = None, back: str | None = None
) -> Section:
    return Section(
        "cylinder", diameter=diameter, length=length, front_corner=front, back_corner=back
    )


BUSH = PartRecord(
    "Flanged bush",
    (cylinder("30 h7", "25", "1x45°"), cylinder("40", "6", None, "1x45°")),
    material="bronze",
    bore=Bore((cylinder("20 H7", "31", "0.5x45°"),), through=True),
    inside_corners="R0.8",
)
SHAFT = PartRecord(
    "Capstan shaft",
    (
        cylinder("16", "20", "1x45°"),
        cylinder("22 h6", "30"),
        cylinder("28", "15"),
        cylinder("20", "25", None, "1x45°"),
    ),
    material="mild steel",
    inside_corners="R0.8",
)
CAP = PartRecord(
    "Stem cap",
    (cylinder("24", "12", "1x45°"), cylinder("30", "10", None, "1x45°")),
    material="brass",
    bore_back=Bore((cylinder("16", "14", "0.5x45°"),), bottom="118°"),
    inside_corners="R0.8",
)


def one(part: PartRecord, blank: Blank, grip: str, device: str = "Three-jaw 160") -> Job:
    """Return a job with one setup."""
    return Job(part, blank, "Slipway 1", (Setup(Holding(device, grip)),))


def codes(made: Plan, *severities: str) -> list[str]:
    return [f.code for f in made.findings if not severities or f.severity in severities]


def replays_clean(made: Plan) -> None:
    """Ask that nothing is hit, exactly and as read, and that the part is not undercut."""
    for as_read in (False, True):
        events = replay(made, as_read).events
        assert [e.what for e in events if e.depth_mm > 0.02] == []
    assert made.finished.under_mm <= GOUGE


def comes_out(made: Plan) -> None:
    """Ask besides that the part has its size, and that nothing is dangerous."""
    replays_clean(made)
    assert codes(made, "stop") == [], [f.message for f in made.findings]
    assert made.finished.over_mm <= 0.005


@st.composite
def stepped_parts(draw: DrawFn, steps: int = 4) -> PartRecord:
    """Yield parts that grow to their thickest section and fall again, with chamfered ends."""
    up = draw(st.lists(st.integers(1, 4), min_size=1, max_size=steps))
    down = draw(st.lists(st.integers(1, 4), min_size=1, max_size=steps))
    diameters = [14]
    for step in up:
        diameters.append(diameters[-1] + 2 * step)
    for step in down:
        diameters.append(max(10, diameters[-1] - 2 * step))
    lengths = [draw(st.integers(6, 30)) for _ in diameters]
    ends = [draw(st.sampled_from((None, "1x45°", "0.5x45°"))) for _ in range(2)]
    last = len(diameters) - 1
    sections = tuple(
        cylinder(str(d), str(n), None if i else ends[0], ends[1] if i == last else None)
        for i, (d, n) in enumerate(zip(diameters, lengths, strict=True))
    )
    return PartRecord("shaft", sections, material="mild steel", inside_corners="R0.8")
