"""Bores, grooves, threads and knurls on the board: drawn, picked, dragged, retyped."""

from __future__ import annotations

import math

import msgspec
import pytest
from PySide6.QtCore import QPointF
from pytestqt.qtbot import QtBot

from tests.desk.board.hand import Hand
from turnsketch.desk.board import Board
from turnsketch.desk.board.bore_meeting import trimmed
from turnsketch.desk.board.dimension_list import dimensions_of
from turnsketch.desk.board.drawing import drawing_of
from turnsketch.desk.board.end_view import bands_of, end_view_box
from turnsketch.desk.board.feature_paint import section_path
from turnsketch.desk.board.pick import SectionPick, VertexPick, pick
from turnsketch.desk.board.typed import retyped, typed_at
from turnsketch.document.bores import all_sections
from turnsketch.document.chain_edits import move_in_chain, split_in_chain
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.records import Bore, Groove, PartRecord, Section
from turnsketch.part.resolve import resolve
from turnsketch.picture.silhouette import silhouette


def with_part(part: PartRecord) -> Job:
    return msgspec.structs.replace(load_demo("stepped_pin"), part=part)


def shaft() -> Job:
    """Return a shaft with a thread and its relief, two grooves, a knurl and a blind bore."""
    sections = (
        Section("cylinder", thread="M12x1.75-6g", length="20", front_corner="1x45°"),
        Section("cylinder", diameter="20 h6", length="30"),
        Section("cylinder", diameter="25", length="25", knurl="RGE 1.0"),
    )
    grooves = (
        Groove("thread relief", 1, size="1.75"),
        Groove("ring", 2, from_front="5", size="20x1.2"),
        Groove("plain", 2, from_back="6", width="3", diameter="17"),
    )
    bore = Bore((Section("cylinder", diameter="6", length="30"),), bottom="118°")
    return with_part(PartRecord("Winch shaft", sections, grooves=grooves, bore=bore))


@pytest.mark.parametrize("solved", [False, True])
def test_pencil_and_solver_draw_the_same(solved: bool) -> None:
    for job in (shaft(), load_demo("flanged_bush")):
        part = resolve(job.part, job.units)
        drawn = drawing_of(job, part if solved else None)
        assert len(drawn.bores) == sum(b is not None for b in (job.part.bore, job.part.bore_back))
        assert len(drawn.grooves) == len(part.grooves)
        assert len(drawn.threads) == len(part.threads)
        assert len(drawn.knurls) == len(part.knurls)
        for bore in drawn.bores:
            told = part.bore_back if bore.pencil.back else part.bore
            assert told is not None
            for info in told.sections:
                front, _ = drawn.ends(info.number)
                wanted = info.front
                if bore.pencil.back:
                    wanted = Point(-part.total_length - wanted.z, wanted.r)
                # the pencil takes the size as printed, the solver aims inside its limits
                assert front.distance(wanted) < 0.05
        assert {s for e in drawn.all_elements if (s := e.section)} == set(
            range(1, len(all_sections(job.part)) + 1)
        )


def test_the_cut_face_has_the_hole_and_the_grooves_in_it() -> None:
    drawn = drawing_of(shaft(), None)
    path = section_path(drawn)
    for z, r, metal in (
        (-10.0, 2.0, False), (-10.0, 4.0, True), (-40.0, 2.0, True),
        (-25.6, 9.9, False), (-27.5, 9.9, True), (-42.5, 9.0, False), (-60.0, 12.0, True),
    ):  # fmt: skip
        assert path.contains(QPointF(z, -r)) == metal, (z, r)


def test_two_bores_meet_without_metal_between_them() -> None:
    drawn = drawing_of(load_demo("flanged_bush"), None)
    path = section_path(drawn)
    assert not path.contains(QPointF(-38.0, -5.0)), "in both voids"
    assert not path.contains(QPointF(-38.0, -13.0))
    assert path.contains(QPointF(-38.0, -15.0))
    front, back = drawn.bores
    low = min(p.z for e in front.wall for p in (e.shape.start, e.shape.end))
    assert low == pytest.approx(-36.0), "the recess has taken the rest of the wall"
    assert trimmed(back.void, front.void, back=True) == back.wall
    assert {e.section for e in back.wall} == {4, None}


def test_the_pointer_finds_a_bore_above_the_axis_and_the_outside_below_it() -> None:
    drawn = drawing_of(load_demo("flanged_bush"), None)
    assert pick(drawn, Point(-20.0, 10.1), 0.5) == SectionPick(3)
    assert pick(drawn, Point(-20.0, 4.0), 0.5) == SectionPick(3), "inside the hole"
    assert pick(drawn, Point(-20.0, 13.0), 0.5) == SectionPick(1), "in the metal"
    assert pick(drawn, Point(-20.0, -10.1), 0.5) == SectionPick(1)
    corner = pick(drawn, Point(-36.0, 14.0), 0.5)
    assert isinstance(corner, VertexPick)
    assert corner.number == 4


def test_every_size_of_the_print_stands_on_the_board() -> None:
    drawn = drawing_of(shaft(), None)
    shown = {d.shown for d in dimensions_of(drawn)}
    wanted = {"M12x1.75-6g", "RGE 1.0", "ring 20x1.2", "Ø17", "3", "5", "6", "Ø6", "118°", "30"}
    assert wanted <= shown
    keys = [d.key for d in dimensions_of(drawn)]
    assert len(keys) == len(set(keys)), "each is told from all others"


@pytest.mark.parametrize(
    ("shown", "text"),
    [("Ø17", "16"), ("118°", "90°"), ("RGE 1.0", "RAA 0.8"), ("M12x1.75-6g", "M12x1"), ("3", "4"),
     ("Ø6", "5 H7"), ("ring 20x1.2", "")],
)  # fmt: skip
def test_a_size_is_retyped_where_it_stands(shown: str, text: str) -> None:
    job = shaft()
    found = next(d for d in dimensions_of(drawing_of(job, None)) if d.shown == shown)
    made, name = retyped(job, found.section, found.field, text)
    assert name
    again = [d.text for d in dimensions_of(drawing_of(made, None)) if d.key == found.key]
    if text:
        assert again == [text]
    else:
        assert again in ([], [""])
    back, _ = retyped(made, found.section, found.field, found.text)
    assert back == job


def test_text_typed_at_a_bore_goes_to_it() -> None:
    job = load_demo("flanged_bush")
    made, _ = typed_at(job, (SectionPick(3),), "22 H7")
    assert all_sections(made.part)[2].diameter == "22 H7"
    made, _ = typed_at(job, (SectionPick(4),), "M28x1.5")
    assert all_sections(made.part)[3].thread == "M28x1.5"


def test_the_wall_of_a_bore_is_dragged_and_split() -> None:
    job = load_demo("flanged_bush")
    front, back = (bore.pencil for bore in drawing_of(job, None).bores)
    wider = move_in_chain(job, front, 1, Point(0.0, 11.0))
    assert all_sections(wider.part)[2].diameter == "22 H7"
    last = len(front.pencil.vertices) - 2
    assert move_in_chain(job, front, last, Point(-30.0, 10.0)) == job, "through it stays"
    deeper = move_in_chain(job, back, 2, Point(-35.0, 14.0))
    assert all_sections(deeper.part)[3].length == "5"
    cut = split_in_chain(job, front, 3, -15.0)
    assert [s.diameter for s in all_sections(cut.part)][2:] == ["20 H7", "20 H7", "28 H11"]
    assert cut.part.ties == job.part.ties


def test_a_corner_of_a_bore_follows_the_mouse(qtbot: QtBot) -> None:
    board = Board()
    qtbot.addWidget(board)
    board.resize(900, 640)
    job = load_demo("flanged_bush")
    board.show_job(job, resolve(job.part, job.units))
    board.show()
    qtbot.waitExposed(board)
    board.fit()
    edits: list[tuple[Job, str]] = []
    board.edited.connect(lambda made, name: edits.append((made, name)))
    hand = Hand(board)
    start, end = (hand.pixel(Point(-36.0, r)) for r in (14.0, 13.0))
    hand.drag(start, end)
    assert len(edits) == 1
    text = all_sections(edits[0][0].part)[3].diameter
    assert text is not None
    assert text.endswith("H11")
    assert math.isclose(float(text.split()[0]), 26.0, abs_tol=0.6)


def test_from_outside_a_hole_is_not_seen() -> None:
    tube = tuple(
        Point(z, r) for z, r in ((0, 5), (0, 10), (-20, 10), (-20, 12), (-30, 12), (-30, 5))
    )
    (seen,) = silhouette([tube])
    assert Point(0, 0) in seen
    assert Point(-30, 0) in seen
    assert not any(p.r == 5 for p in seen)
    solid = tuple(Point(z, r) for z, r in ((0, 0), (0, 10), (-30, 10), (-30, 0)))
    assert set(silhouette([solid])[0]) == set(solid)


def test_from_its_end_one_sees_the_hole_and_what_closes_it() -> None:
    ring = tuple(
        Point(z, r) for z, r in ((0, 4), (0, 8), (-5, 10), (-20, 10), (-20, 0), (-12, 0), (-12, 4))
    )
    bands = bands_of((ring,))
    assert [b.level for b in bands[:2]] == [True, True]
    assert bands[0].z == pytest.approx(-12.0), "the bottom of the hole"
    assert bands[1].z == pytest.approx(0.0)
    assert bands[1].inner == pytest.approx(4.0, abs=0.2)
    assert not bands[-1].level, "the cone"
    solid = tuple(Point(z, r) for z, r in ((0, 0), (0, 10), (-20, 10), (-20, 0)))
    through = tuple(Point(z, r) for z, r in ((0, 0), (0, 4), (-20, 4), (-20, 0)))
    recess = tuple(Point(z, r) for z, r in ((-15, 0), (-15, 6), (-20, 6), (-20, 0)))
    seen = bands_of((solid,), (through, recess))
    assert [b.z for b in seen] == [None, pytest.approx(0.0)]
    assert bands_of(()) == ()


@pytest.mark.parametrize(("name", "shown"), [("flanged_bush", True), ("stepped_pin", False)])
def test_only_work_with_a_hole_is_shown_from_its_end(qtbot: QtBot, name: str, shown: bool) -> None:
    board = Board()
    qtbot.addWidget(board)
    board.resize(900, 640)
    board.show_job(load_demo(name), None)
    board.show()
    qtbot.waitExposed(board)
    box = end_view_box(board)
    assert (box is not None) == shown
    if box is None:
        return
    assert not any(field.box.intersects(box) for field in board.title_fields())
    paper = board.theme.paper
    picture = board.grab().toImage()
    ratio = picture.devicePixelRatio()

    def colour(share: float) -> str:
        at = box.center() + QPointF(0.7, 0.7) * (share * box.width() / 2)
        return picture.pixelColor(int(at.x() * ratio), int(at.y() * ratio)).name()

    assert colour(0.25) == paper.lower(), "one looks through the hole"
    assert colour(0.55) != paper.lower(), "there is metal around it"
