"""Findings about knurls: each with a job that raises it and the nearest that does not."""

from __future__ import annotations

from typing import Any

from tests.findings.cases import SHOP, but, codes, one
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.shop.records import Shop

NECK = Section("cylinder", "neck", diameter="20", length="5")
GRIP = Section("cylinder", "grip", diameter="24", length="20", knurl="RGE 1.0")
COLLAR = Section("cylinder", "collar", diameter="28", length="8")
LIST = (
    Operation("face", 1),
    Operation("rough", 1),
    Operation("finish", 2),
    Operation("knurl", 90),
    Operation("part off", 7),
)


def job(*operations: Operation, length: str = "70", **fields: Any) -> Job:
    part = PartRecord("grip", (NECK, but(GRIP, **fields), COLLAR), material="brass")
    setup = Setup(Holding("Three-jaw 160", "25"), operations=operations or LIST)
    return Job(part, Blank("30", length), "Slipway 1", (setup,))


SHORT = (but(NECK, diameter="28"), but(GRIP, length="7"), COLLAR)


def with_neck(of: Job, neck: Section) -> Job:
    return but(of, part=but(of.part, sections=(neck, *of.part.sections[1:])))


def without_tool(*numbers: int) -> Shop:
    return but(SHOP, tools=tuple(t for t in SHOP.tools if t.number not in numbers))


def test_a_knurl_without_an_operation() -> None:
    found = one("no-knurl", job(*LIST[:3]))
    assert found.severity == "caution"
    assert "RGE 1.0" in found.message
    assert "T90" in found.remedy
    assert found.z == -5.0
    assert "no-knurl" not in codes(job())


def test_a_knurl_without_wheels() -> None:
    shop = without_tool(90)
    found = one("no-knurl", job(*LIST[:3]), shop)
    assert "no wheels" in found.message
    assert "RAA 0.8" in found.remedy
    bare = without_tool(90, 91)
    assert "enter a knurling tool" in one("no-knurl", job(*LIST[:3]), bare).remedy


def test_work_that_springs_away() -> None:
    # Z0 stands 44 in front of the jaws, the knurl 39: more than 2 x 19.33
    slim = but(NECK, diameter="18")
    found = one("knurl-bends", with_neck(job(length="70", diameter="20"), slim))
    assert "39.00 mm out of the jaws" in found.message
    assert "tailstock centre" in found.remedy
    assert "knurl-bends" not in codes(with_neck(job(length="69", diameter="20.5"), slim))


def test_a_wall_that_gives_way() -> None:
    hollow = job()
    bore = Bore((Section("cylinder", diameter="17.5", length="20"),))
    drilled = (LIST[0], Operation("drill", 48), *LIST[1:])
    hollow = but(hollow, part=but(hollow.part, bore=bore), setups=job(*drilled).setups)
    found = one("knurl-thin-wall", hollow)
    assert "out of round" in found.message
    narrow = but(hollow, part=but(hollow.part, bore=Bore((but(bore.sections[0], diameter="14"),))))
    narrow = but(narrow, setups=job(LIST[0], Operation("drill", 46), *LIST[1:]).setups)
    assert "knurl-thin-wall" not in codes(narrow)


def test_ends_that_stay_plain() -> None:
    found = one("knurl-ends", job())
    assert found.severity == "note"
    assert "0.50 mm at Z-25.00" in found.message
    part = job().part
    open_behind = but(part, sections=(NECK, GRIP, but(COLLAR, diameter="20")))
    assert "knurl-ends" not in codes(but(job(), part=open_behind))


def test_why_there_is_no_pass() -> None:
    early = (LIST[0], Operation("knurl", 90), *LIST[1:3], LIST[4])
    assert "stand at its size" in one("no-pass", job(*early)).message
    other = (*LIST[:3], Operation("knurl", 91), LIST[4])
    assert "T91 presses RAA 0.8, the print asks for RGE 1.0" in one("no-pass", job(*other)).message
    plain = one("no-pass", job(knurl=None))
    assert "no knurl" in plain.message
    assert plain.severity == "note"
    tight = job()
    tight = but(tight, part=but(tight.part, sections=SHORT))
    assert "8.00 mm wide" in one("no-pass", tight).message
    wrong = (*LIST[:3], Operation("knurl", 2), LIST[4])
    assert "turning tool" in one("no-pass", job(*wrong)).message
