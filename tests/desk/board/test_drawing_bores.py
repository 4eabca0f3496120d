"""Bores drawn on a real board as the outside is: band, snapping, what goes through, bending."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import Qt

from tests.desk.board.hand import Hand
from turnsketch.desk.board import Board
from turnsketch.desk.board.drawing import drawing_of
from turnsketch.desk.board.labels import size_words
from turnsketch.desk.board.notes import placed_notes
from turnsketch.desk.board.pick import SectionPick, VertexPick, pick
from turnsketch.desk.board.tools import DrawTool
from turnsketch.desk.board.typed import typed_at
from turnsketch.document.bores import Chain, chain_sections
from turnsketch.document.chain_edits import bend_in_chain
from turnsketch.document.demo import load_demo
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.records import Bore, Drawn, PartRecord, Section
from turnsketch.part.resolve import resolve

LENGTH = 40.3


def bush(bore: Bore | None = None, bore_back: Bore | None = None) -> Job:
    """Return a flanged bush whose length is no round number."""
    outside = (
        Section("cylinder", diameter="32", length="32"),
        Section("cylinder", diameter="48", length="8.3"),
    )
    part = PartRecord("Bush", outside, bore=bore, bore_back=bore_back)
    return msgspec.structs.replace(load_demo("stepped_pin"), part=part)


def drawing(board: Board, job: Job, chain: Chain) -> tuple[Hand, DrawTool]:
    """Show a job, and take up drawing one of its chains."""
    board.show_job(job, None)
    board.set_chain(chain)
    board.set_mode("draw")
    tool = board.tool
    assert isinstance(tool, DrawTool)
    return Hand(board), tool


@pytest.mark.parametrize(("chain", "z"), [("bore", -12.0), ("bore_back", 12.0 - LENGTH)])
def test_a_click_draws_a_blind_hole_in_pencil(board: Board, chain: Chain, z: float) -> None:
    hand, tool = drawing(board, bush(), chain)
    hand.move(hand.pixel(Point(z, 9.0)))
    band = tool.band()
    assert (band.kind, band.through) == ("cylinder", False)
    assert band.to == pytest.approx(Point(-12.0, 9.0)), "a round depth from its own mouth"
    assert band.words("mm", inside=True) == "Ø18 inside   12"
    hand.click(hand.pixel(Point(z, 9.0)))
    made = hand.job.part.bore if chain == "bore" else hand.job.part.bore_back
    assert made is not None
    assert not made.through
    (section,) = made.sections
    assert section.drawn is not None
    assert section.drawn.to == pytest.approx(Point(-12.0, 9.0))
    assert section.diameter is section.length is None
    (bore,) = board.drawing.bores
    assert bore.pencil.chain == chain
    assert bore.pencil.ends(3)[1] == pytest.approx(Point(z, 9.0))
    assert 3 not in board.drawing.fixed, "in pencil"


@pytest.mark.parametrize(("chain", "beyond"), [("bore", -60.0), ("bore_back", 20.0)])
def test_drawn_beyond_the_other_end_it_goes_through(
    board: Board, chain: Chain, beyond: float
) -> None:
    hand, tool = drawing(board, bush(), chain)
    hand.move(hand.pixel(Point(beyond, 9.0)))
    assert tool.band().through
    assert "through" in tool.band().words("mm", inside=True)
    hand.click(hand.pixel(Point(beyond, 9.0)))
    made = hand.job.part.bore if chain == "bore" else hand.job.part.bore_back
    assert made is not None
    assert made.through
    hand.click(hand.pixel(Point(-5.0, 5.0)))
    hand.type("7")
    assert len(hand.edits) == 1, "there is nothing left to draw"
    assert "goes through already" in hand.hints[-1]
    hand.key(Qt.Key.Key_Backspace)
    assert (hand.job.part.bore, hand.job.part.bore_back) == (None, None)


def test_sizes_are_typed_at_the_pointer_as_for_the_outside(board: Board) -> None:
    hand, tool = drawing(board, bush(), "bore")
    for first, second in (("26", "6"), ("20 H7", "thr")):
        hand.type(first)
        hand.key(Qt.Key.Key_Tab)
        hand.type(second)
        hand.key(Qt.Key.Key_Return)
    assert hand.job.part.bore == Bore(
        (
            Section("cylinder", diameter="26", length="6"),
            Section("cylinder", diameter="20 H7"),
        ),
        through=True,
    )
    assert tool.editor is None, "there is nothing left to draw"
    assert [name for _, name in hand.edits] == [
        "Draw cylinder 26 inside",
        "Draw cylinder 20 H7 inside",
    ]
    hand.key(Qt.Key.Key_Backspace)
    assert hand.job.part.bore == Bore((Section("cylinder", diameter="26", length="6"),))


def test_a_thread_is_typed_and_begins_the_fields(board: Board) -> None:
    hand, _ = drawing(board, bush(), "bore_back")
    hand.type("M20x1.5, 11 long")
    hand.key(Qt.Key.Key_Tab)
    hand.type("16")
    hand.key(Qt.Key.Key_Return)
    wanted = Section("cylinder", thread="M20x1.5", thread_length="11", length="16")
    assert hand.job.part.bore_back == Bore((wanted,))


def test_a_bore_that_ends_in_the_other_one_goes_through(board: Board) -> None:
    recess = Bore((Section("cylinder", diameter="28", length="4.3"),))
    hand, tool = drawing(board, bush(bore_back=recess), "bore")
    hand.move(hand.pixel(Point(-36.0, 10.0)))
    assert tool.band().to.z == pytest.approx(-36.0), "the bottom of the recess is a level"
    assert tool.band().through
    hand.move(hand.pixel(Point(-36.0, 15.0)))
    assert not tool.band().through, "there it is wider than the recess"
    hand.move(hand.pixel(Point(-30.0, 10.0)))
    assert not tool.band().through


def test_a_bore_waits_for_the_outside(board: Board) -> None:
    job = msgspec.structs.replace(load_demo("stepped_pin"), part=PartRecord("New", ()))
    hand, _ = drawing(board, job, "bore")
    hand.click(hand.pixel(Point(-10.0, 5.0)))
    assert hand.edits == []
    assert "outside first" in hand.hints[-1]
    assert board.grab().width() > 0
    board.set_chain("outside")
    hand.click(hand.pixel(Point(-10.0, 5.0)))
    assert len(hand.job.part.sections) == 1


def test_out_of_the_part_is_no_way_to_draw(board: Board) -> None:
    blind = Bore((Section("cylinder", diameter="20", length="12"),))
    hand, _ = drawing(board, bush(bore_back=blind), "bore_back")
    hand.click(hand.pixel(Point(-36.0, 6.0)))
    assert hand.edits == []
    assert "deeper" in hand.hints[-1]


def test_a_cone_can_begin_at_a_shoulder_inside(board: Board) -> None:
    blind = Bore((Section("cylinder", diameter="20", length="12"),))
    hand, tool = drawing(board, bush(bore_back=blind), "bore_back")
    mouth = LENGTH
    hand.click(hand.pixel(Point(12.0 - mouth, 8.0)))
    assert len(hand.edits) == 0, "a shoulder is no section of its own"
    top = tool.start()
    assert top == pytest.approx(Point(-12.0, 8.0))
    hand.click(hand.pixel(Point(17.0 - mouth, 3.0)))
    sections = chain_sections(hand.job.part, "bore_back")
    assert [s.kind for s in sections] == ["cylinder", "face", "taper"]
    assert (sections[2].angle, sections[2].narrows) == ("45°", True)
    solved = resolve(hand.job.part, "mm").bore_back
    assert solved is not None
    assert solved.sections[2].front == pytest.approx(top, abs=1e-6)
    assert solved.sections[2].back == pytest.approx(Point(-17.0, 3.0), abs=0.3)


@pytest.mark.parametrize("chain", ["bore", "bore_back"])
def test_the_wall_of_a_bore_is_bent_and_straightened(board: Board, chain: Chain) -> None:
    blind = Bore((Section("cylinder", diameter="20", length="12"),))
    job = bush(bore=blind) if chain == "bore" else bush(bore_back=blind)
    board.show_job(job, None)
    hand = Hand(board)
    middle = board.drawing.middle(3)
    hand.click(hand.pixel(middle))
    assert board.chosen == {3}
    hand.drag(hand.pixel(middle), hand.pixel(Point(middle.z, middle.r + 2.0)))
    (arc,) = chain_sections(hand.job.part, chain)
    assert (arc.kind, arc.sense) == ("arc", "convex"), "the void grows fuller"
    shape = board.drawing.of_section(3)[0].shape
    assert shape.at(0.5).r == pytest.approx(middle.r + 2.0, abs=0.3)
    assert shape.at(0.5).z == pytest.approx(middle.z, abs=0.1)
    hand.click(hand.pixel(shape.at(0.5)))
    hand.drag(hand.pixel(shape.at(0.5)), hand.pixel(middle))
    (plain,) = chain_sections(hand.job.part, chain)
    assert (plain.kind, plain.diameter, plain.length) == ("cylinder", "20", "12")


@pytest.mark.parametrize("inside", [True, False])
def test_a_thread_is_not_bent(board: Board, inside: bool) -> None:
    threaded = Section("cylinder", thread="M20x1.5", length="16")
    blind = Bore((threaded,)) if inside else None
    job = bush(bore=blind)
    if not inside:
        outside = (threaded, *job.part.sections[1:])
        part = msgspec.structs.replace(job.part, sections=outside)
        job = msgspec.structs.replace(job, part=part)
    board.show_job(job, None)
    hand, number = Hand(board), 3 if inside else 1
    middle = board.drawing.middle(number)
    hand.click(hand.pixel(middle))
    hand.drag(hand.pixel(middle), hand.pixel(Point(middle.z, middle.r + 3.0)))
    assert hand.edits == []
    assert board.chosen == {number}
    chain = board.drawing.chain_of(number)
    assert chain is not None
    with pytest.raises(InputError, match="thread"):
        bend_in_chain(job, chain, number, 0.3)


def test_a_blind_bottom_is_not_dragged_out_of_the_part(board: Board) -> None:
    blind = Bore((Section("cylinder", diameter="20", length="12"),))
    board.show_job(bush(bore=blind), None)
    hand = Hand(board)
    hand.drag(hand.pixel(Point(-12.0, 10.0)), hand.pixel(Point(-60.0, 10.0)))
    made = hand.job.part.bore
    assert made is not None
    assert made.sections[0].length == "39.8"
    assert resolve(hand.job.part, "mm").bore is not None


def test_the_readout_of_a_dragged_corner_says_inside() -> None:
    assert size_words(Point(-5.0, 10.0), "mm", inside=True) == "Ø20 inside  Z −5"
    assert size_words(Point(-5.0, 10.0), "mm") == "Ø20  Z −5"


def test_the_angle_of_a_bottom_is_typed_at_its_corner() -> None:
    blind = Bore((Section("cylinder", diameter="20", length="12"),))
    made, name = typed_at(bush(bore=blind), (VertexPick(0, 3, "back"),), "118°")
    assert made.part.bore == msgspec.structs.replace(blind, bottom="118°")
    assert name == "Bottom 118°"
    for job, corner in ((bush(bore=blind), VertexPick(0, 3, "front")),
                        (bush(bore=blind), VertexPick(0, 2, "back")),
                        (made, VertexPick(0, 2, "back"))):  # fmt: skip
        with pytest.raises(InputError):
            typed_at(job, (corner,), "118°")


def test_a_chain_chosen_while_drawing_begins_anew(board: Board) -> None:
    hand, tool = drawing(board, bush(), "bore")
    hand.type("2")
    assert tool.editor is not None
    board.set_chain("bore_back")
    assert tool.editor is None
    assert board.mode == "draw"
    assert board.tool is not tool


@pytest.mark.parametrize(("chain", "end"), [("bore", "bore"), ("bore_back", "back bore")])
def test_what_is_open_in_a_bore_is_told_at_its_place(board: Board, chain: Chain, end: str) -> None:
    blind = Bore((Section("cylinder", length="12", drawn=Drawn(Point(-12.0, 9.0))),))
    job = bush(bore=blind) if chain == "bore" else bush(bore_back=blind)
    board.show_job(job, resolve(job.part, "mm"))
    ((note, _),) = placed_notes(board)
    assert note.text == f"free: {end} section 1 is free in diameter"
    z = board.lens.point(note.at.x(), note.at.y()).z
    assert z == pytest.approx(-6.0 if chain == "bore" else 6.0 - LENGTH, abs=0.2)


def test_the_middle_of_a_short_section_is_picked_between_its_corners() -> None:
    recess = Bore((Section("cylinder", diameter="28", length="4"),))
    drawn = drawing_of(bush(bore_back=recess), None)
    bottom, mouth = -36.3, -LENGTH
    assert pick(drawn, Point(-38.3, 14.0), 3.0) == SectionPick(3)
    for z in (bottom - 0.5, bottom + 1.0, mouth + 0.5):
        assert isinstance(pick(drawn, Point(z, 14.0), 3.0), VertexPick)
    assert isinstance(pick(drawn, Point(-38.3, 15.8), 3.0), VertexPick), "beside the line"
