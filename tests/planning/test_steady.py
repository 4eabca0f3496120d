"""The steady rest that is set on a track: when it waits, when it is set, what is left in front."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import box

from tests.pipeline.turned_jobs import cylinder
from turnsketch.errors import InputError
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Groove, PartRecord
from turnsketch.pipeline.request import context_of
from turnsketch.planning.context import Context
from turnsketch.planning.fold import fold, outline_for_turning
from turnsketch.planning.steady import STEADY, set_on, track_stands
from turnsketch.planning.steady_place import Track
from turnsketch.planning.steady_track import down_to_track
from turnsketch.shop.files import demo_shop

SHOP = demo_shop()
LONG = PartRecord(
    "Tiller shaft",
    (cylinder("20", "40"), cylinder("24", "30"), cylinder("30", "110")),
    material="mild steel",
    inside_corners="R0.8",
)


def context(place: str = "100", part: PartRecord = LONG, **setup: object) -> Context:
    held = Holding("Three-jaw 160", "25", steady=place)
    job = Job(part, Blank("32", "240", "1"), "Slipway 1", (Setup(held, "steady", **setup),))  # type: ignore[arg-type]
    return context_of(job, SHOP)


def test_it_waits_for_a_track_that_the_setup_turns() -> None:
    ctx = context()
    assert ctx.held.track == Track(-112.0, -88.0, 15.0, 150.0, 3)
    assert STEADY not in [o.name for o in ctx.held.obstacles]


@pytest.mark.parametrize(
    ("place", "sections", "why"),
    [
        ("100", (1,), "its section is another setup's"),
        ("70", None, "two diameters stand under it"),
    ],
)
def test_elsewhere_it_stands_from_the_start(
    place: str, sections: tuple[int, ...] | None, why: str
) -> None:
    held = context(place, sections=sections).held
    assert held.track is None, why
    assert STEADY in [o.name for o in held.obstacles]


def test_a_groove_under_it_is_no_track() -> None:
    groove = Groove("plain", 3, from_front="30", width="3", diameter="28")
    grooved = PartRecord(LONG.name, LONG.sections, material="mild steel", grooves=(groove,))
    assert context(part=grooved).held.track is None


def test_a_track_too_thin_for_it_is_told() -> None:
    thin = PartRecord("pin", (cylinder("9", "150"),), material="mild steel")
    with pytest.raises(InputError, match="takes Ø10 to Ø80 mm; the work has Ø9"):
        context(part=thin)


@pytest.mark.parametrize(
    ("radius", "stands"), [(15.0, True), (15.005, True), (15.05, False), (14.95, False)]
)
def test_a_track_stands_when_it_has_one_diameter_all_along(radius: float, stands: bool) -> None:
    track = Track(-112.0, -88.0, 15.0, 150.0, 3)
    bar = box(-200.0, 0.0, 0.0, radius)
    assert track_stands(track, bar) is stands
    assert not track_stands(track, bar.difference(box(-95.0, 14.0, -90.0, 16.0)))


def test_it_is_set_around_its_track() -> None:
    held = set_on(context().held)
    ring = next(o.ring for o in held.obstacles if o.name == STEADY)
    assert held.track is None
    assert (min(p.z for p in ring), max(p.z for p in ring)) == (-112.0, -88.0)
    assert min(p.r for p in ring) == pytest.approx(15.001)
    assert set_on(held) == held


def test_roughing_of_named_sections_leaves_what_is_in_front_as_thick() -> None:
    ctx = context()
    outline = outline_for_turning(ctx, ())
    filled = down_to_track(ctx, Operation("rough", 1, sections=(3,)), outline)
    radii = [e.shape.end.r for e in filled.elements[:2]]
    assert radii == [15.0, 15.0]
    assert down_to_track(ctx, Operation("rough", 1), outline) == outline
    stands = replace(ctx, held=set_on(ctx.held))
    assert down_to_track(stands, Operation("rough", 1, sections=(3,)), outline) == outline


def test_it_is_set_after_the_operation_that_finishes_its_track() -> None:
    ctx = context()
    listed = (
        Operation("rough", 1, sections=(3,)),
        Operation("finish", 2, sections=(3,)),
        Operation("rough", 1),
        Operation("finish", 2),
    )
    made = fold(ctx, listed)
    first = sum(len(step.passes) for step in made.steps[:2])
    assert made.steady_from == first > 0
    assert STEADY in [o.name for o in made.ctx.held.obstacles]
    for made_pass in made.passes[first:]:
        assert min(m.move.to.z for m in made_pass.moves) > -88.0


def test_it_is_never_set_when_nothing_turns_its_track() -> None:
    made = fold(context(), (Operation("face", 1),))
    assert made.steady_from is None
    assert made.ctx.held.track is not None
