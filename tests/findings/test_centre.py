"""Centre holes, centre and quill: a job that raises each finding, and one that does not."""

from __future__ import annotations

from tests.findings.cases import SHOP, but, codes, one, planned
from turnsketch.document.demo import load_demo
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.shop.records import Shop

PIN = load_demo("slender_pin")
LISTED = (
    Operation("face", 1),
    Operation("centre hole", 13),
    Operation("rough", 1),
    Operation("finish", 2),
)


def said(hole: str | None, job: Job = PIN) -> Job:
    return but(job, part=but(job.part, centre_hole=hole))


def listed(*operations: Operation, **holding: object) -> Job:
    setup = PIN.setups[0]
    changed = but(setup, operations=operations, holding=but(setup.holding, **holding))
    return but(PIN, setups=(changed,))


def with_centre(**fields: object) -> Shop:
    lathes = tuple(but(m, centre=but(m.centre, **fields)) for m in SHOP.lathes)
    return but(SHOP, lathes=lathes)


def test_the_demo_part_raises_none_of_them() -> None:
    assert not [c for c in codes(PIN) if "centre" in c or c in ("quill-reach", "work-too-long")]


def test_a_hole_that_the_print_forbids_stops_with_the_length_it_wants() -> None:
    found = one("centre-hole-not-allowed", said("not allowed"))
    assert found.severity == "stop"
    assert "6.00 mm more length" in found.message
    assert "5.00 mm longer" in found.remedy


def test_the_extra_length_clears_it() -> None:
    longer = but(said("not allowed"), blank=but(PIN.blank, length="177", front="7"))
    assert "centre-hole-not-allowed" not in codes(longer)
    assert "face it off in another setup" in one("left-over-extra-length", longer).remedy


def test_a_print_that_does_not_say() -> None:
    found = one("centre-hole-not-said", said(None))
    assert found.severity == "caution"
    assert "6.00 mm longer" in found.remedy


def test_a_hole_that_the_print_wants_and_nobody_makes() -> None:
    setup = but(PIN.setups[0], holding=but(PIN.setups[0].holding, centre=False))
    free = but(said("required"), setups=(setup,))
    assert "centre-hole-missing" not in codes(free), "the proposal drills it"
    face = but(free, setups=(but(setup, operations=LISTED[:1]),))
    assert one("centre-hole-missing", face).severity == "caution"


def test_a_centre_without_a_hole_is_a_stop() -> None:
    bare = listed(LISTED[0], *LISTED[2:])
    found = one("centre-without-hole", bare)
    assert found.severity == "stop"
    assert "A 2" in found.message
    assert "centre-without-hole" not in codes(listed(*LISTED))
    assert "centre-without-hole" not in codes(listed(*LISTED[2:], centred_blank=True))


def test_between_centres_both_ends_need_their_hole() -> None:
    bare = listed(*LISTED[2:], kind="between centres", device="Driver plate 160")
    assert "both its holes" in one("centre-without-hole", bare).remedy


def test_a_hole_in_a_raw_face() -> None:
    assert one("centre-hole-raw-face", listed(*LISTED[1:])).pass_number == 1
    assert "centre-hole-raw-face" not in codes(listed(*LISTED))


def test_a_centre_that_does_not_fill_its_hole() -> None:
    assert one("centre-point-small", PIN, with_centre(point_diameter_mm=4.0)).severity == "stop"


def test_a_quill_that_does_not_reach_past_the_carriage() -> None:
    found = one("quill-reach", PIN, with_centre(carriage_room_mm=200.0))
    assert found.severity == "stop"
    assert "125.02 mm" in found.message, "200 less cone 4.98, nose 25 and body 45"
    assert "quill-reach" not in codes(PIN, with_centre(carriage_room_mm=184.9))


def test_work_that_is_longer_than_the_lathe() -> None:
    short = tuple(but(m, between_centres_mm=238.0) for m in SHOP.lathes)
    assert one("work-too-long", PIN, but(SHOP, lathes=short)).severity == "stop"
    long = tuple(but(m, between_centres_mm=239.0) for m in SHOP.lathes)
    assert "work-too-long" not in codes(PIN, but(SHOP, lathes=long))


def test_parting_on_the_centre_is_a_stop() -> None:
    parted = listed(*LISTED, Operation("part off", 7))
    assert one("parting-on-centre", parted).severity == "stop"
    assert "parting-on-centre" not in codes(listed(*LISTED))


def test_parting_between_centres_is_a_stop_too() -> None:
    parted = listed(
        *LISTED[2:],
        Operation("part off", 7),
        kind="between centres",
        device="Driver plate 160",
        centred_blank=True,
    )
    assert one("parting-on-centre", parted).severity == "stop"


def test_over_ten_diameters_on_a_centre() -> None:
    """151 mm of Ø18 are 8.4 diameters; 191 mm are 10.6."""
    assert "stick-out" not in codes(PIN)
    longer = but(PIN, blank=but(PIN.blank, length="211"))
    assert "10.6 times" in one("stick-out", longer).message


def test_a_later_setup_has_its_own_findings() -> None:
    """Only the last setup has to free the part; a limited one does not reach the jaws."""
    first = Setup(but(PIN.setups[0].holding, grip="120", centre=False), sections=(1,))
    second = Setup(but(PIN.setups[0].holding, grip=None, centre=False), pull_out="100")
    both = but(PIN, setups=(first, second))
    found = [(f.code, f.setup) for f in planned(both).findings]
    assert ("jaws-in-the-cut", 1) not in found
    assert [s for c, s in found if c == "stick-out"] == [2]


THIN = PartRecord(
    "taper pin",
    (
        Section("taper", angle="Morse 0", front_corner="1x45°"),
        Section("cylinder", diameter="14", length="15"),
    ),
    material="mild steel",
)


def thin(*operations: Operation) -> Job:
    setup = Setup(Holding("Three-jaw 160", "28", centre=True), operations=operations or None)
    return Job(THIN, Blank("16", "110", "1"), "Slipway 1", (setup,))


def test_a_thin_end_gets_the_hole_that_fits_it() -> None:
    """The front of Ø6.4 keeps a rim of 1.5 around A 1.6/3.35 until its chamfer is cut."""
    job = thin()
    assert "centre-without-hole" not in codes(job)
    drilled = next(p for p in planned(job).setups[0].passes if p.operation == "centre hole")
    assert "A 1.6" in drilled.surface


def test_what_a_centre_keeps_the_tools_from_is_told_so() -> None:
    left = one("left-over-centre", thin())
    assert "tailstock centre keeps T1 and T2" in left.message
    assert "half centre" in left.remedy
    assert "left-over-not-planned" not in codes(thin())
    assert "left-over-centre" not in codes(PIN)


def test_the_missing_hole_is_named_by_what_fits() -> None:
    found = one("centre-without-hole", thin(Operation("face", 1), Operation("rough", 1)))
    assert "A 1.6 fits the front face" in found.message
