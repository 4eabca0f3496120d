"""Random bores, through and blind, in one holding or two: what the replay must find."""

from __future__ import annotations

import msgspec
from hypothesis import Phase, given
from hypothesis import strategies as st

from tests.drawn import drawn
from tests.pipeline import invariants
from turnsketch.checking.replay import replay
from turnsketch.errors import InputError
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Plan
from turnsketch.shop.files import demo_shop

# A failing plan is not made smaller: each try costs a plan.
_drawn = drawn(12, (Phase.explicit, Phase.reuse, Phase.generate))

LATHES = tuple(lathe.name for lathe in demo_shop().lathes)
MATERIALS = tuple(material.name for material in demo_shop().materials)
OUTSIDE = 48
MARGIN = 6


@st.composite
def _sections(draw: st.DrawFn, room: int, *, through: bool) -> tuple[Section, ...]:
    """Yield a bore's sections, each narrower than the one before it, `room` long at most."""
    count = draw(st.integers(1, 3))
    sizes = sorted(
        draw(st.lists(st.integers(12, 34), min_size=count, max_size=count, unique=True)),
        reverse=True,
    )
    sections: list[Section] = []
    for index, size in enumerate(sizes):
        last = index == count - 1
        most = room - 4 * (count - 1 - index)
        length = draw(st.integers(3, max(3, min(most, 14))))
        room -= length
        open_end = last and through
        kinds = ["cylinder", "cylinder", "taper", "arc"] if not last else ["cylinder"]
        kind = draw(st.sampled_from(kinds))
        if kind == "taper":
            sections.append(
                Section(
                    "taper", front_diameter=f"{size}", back_diameter=f"{size - 0.8:g}",
                    length=f"{length}",
                )
            )  # fmt: skip
        elif kind == "arc":
            sections.append(
                Section(
                    "arc", front_diameter=f"{size}", back_diameter=f"{size - 0.8:g}",
                    length=f"{length}", radius=f"R{3 * length}", sense="concave",
                )
            )  # fmt: skip
        else:
            fit = draw(st.sampled_from(["", " H7", " H8", " H11"]))
            corner = draw(st.sampled_from([None, "0.4x45°", "R0.4"]))
            if index and sizes[index - 1] - size < 3:
                corner = None
            sections.append(
                Section(
                    "cylinder", diameter=f"{size}{fit}", front_corner=corner,
                    length=None if open_end else f"{length}",
                )
            )  # fmt: skip
    return tuple(sections)


@st.composite
def bored_jobs(draw: st.DrawFn, *, turned: bool = False) -> Job:
    """Yield jobs of a flanged part with a bore; with `turned`, one in its other end as well."""
    step, flange = draw(st.integers(14, 24)), 10
    through = draw(st.booleans())
    length = step + flange
    room = (length - MARGIN) // (2 if turned and not through else 1)
    bore = Bore(
        draw(_sections(room, through=through)),
        through=through,
        bottom=None if through else draw(st.sampled_from([None, "118°"])),
    )
    narrowest = bore.sections[-1]
    part = PartRecord(
        "bush",
        (
            Section("cylinder", name="body", diameter="42", length=f"{step}", front_corner="1x45°"),
            Section("cylinder", name="flange", diameter=f"{OUTSIDE}", length=f"{flange}"),
        ),
        material=draw(st.sampled_from(MATERIALS)),
        inside_corners="R0.8",
        bore=bore,
    )
    setups: tuple[Setup, ...] = (Setup(Holding("Three-jaw 160", grip="25")),)
    if turned:
        wide = 3 + int(float((narrowest.diameter or "12").split()[0]))
        recess = Section("cylinder", name="recess", diameter=f"{wide} H11", length="3")
        part = msgspec.structs.replace(part, bore_back=Bore((recess,)))
        again = Holding("Three-jaw 160", grip=f"{min(step - 1, 20)}", soft_jaws=True)
        setups = (*setups, Setup(again, name="turned around", turned=True))
    lathe = draw(st.sampled_from(LATHES))
    return Job(part, Blank(f"{OUTSIDE + 2}", f"{length + 36}"), lathe, setups)


def _fits_its_sizes(job: Job) -> bool:
    try:
        resolve(job.part, job.units)
    except InputError:
        return False
    return True


def _checked(job: Job) -> Plan:
    warm = Planner()
    plan = warm.plan(job)
    exact, read = replay(plan), replay(plan, as_read=True)
    half_step = invariants.half_step_mm(plan, job.lathe)
    invariants.no_event(exact)
    invariants.events_within(read, half_step)
    invariants.comes_out_true(plan, half_step)
    invariants.left_overs_are_explained(plan)
    invariants.passes_join_up(plan)
    invariants.readings_reproduce_moves(plan, job.lathe)
    assert warm.plan(job) == plan, "a warm planner plans the same"
    _drills_stay_on_the_axis(plan)
    _quills_add_up(plan)
    return plan


def _drills_stay_on_the_axis(plan: Plan) -> None:
    for setup in plan.setups:
        for made in setup.passes:
            if made.direction == "drill":
                assert all(m.to.r == 0.0 for m in made.moves), made.number


def _quills_add_up(plan: Plan) -> None:
    """Ask that touch and depth of a quill end where the drill does, its stops in between."""
    for setup in plan.setups:
        for made in setup.passes:
            quill = made.quill
            if quill is None:
                continue
            deepest = min(m.to.z for m in made.moves)
            assert abs(quill.tip_z - deepest) < 1e-6
            assert abs(quill.touch_z - quill.depth - quill.tip_z) < 2e-3
            assert list(quill.pecks) == sorted(quill.pecks)
            assert all(0 < peck < quill.depth for peck in quill.pecks)


@given(job=bored_jobs().filter(_fits_its_sizes))
@_drawn
def test_bores_in_one_holding(job: Job) -> None:
    plan = _checked(job)
    invariants.volumes_add_up(plan)
    invariants.cuts_keep_to_the_depth(plan)


@given(job=bored_jobs(turned=True).filter(_fits_its_sizes))
@_drawn
def test_bores_from_both_ends(job: Job) -> None:
    plan = _checked(job)
    assert plan.setups[1].frame.mirrored
    recess = [p for p in plan.setups[1].passes if p.surface.startswith("bore recess")]
    assert recess, "the recess is made in the second setup"
