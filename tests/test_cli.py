"""The command line: verbs, files, exit status, and what it says when something is wrong."""

from __future__ import annotations

import io
import itertools
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from tests.malformed import malformed_jobs
from turnsketch.cli import main
from turnsketch.cli_shop import shop_lines
from turnsketch.console import Console, counted, fitted, one_line
from turnsketch.document.demo import demo_names, load_demo
from turnsketch.document.files import dumps, load
from turnsketch.plan_records import Plan
from turnsketch.shop.files import demo_shop

ENCODINGS = ("ascii", "latin-1", "cp1252", "cp437", "utf-8", "utf-16-le")
Capture = pytest.CaptureFixture[str]


def lines_of(text: str) -> list[str]:
    return text.rstrip("\n").split("\n") if text else []


def run(
    *words: str, cwd: Path | None = None, **environment: str
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "turnsketch", *words],
        cwd=cwd, env=os.environ | environment, capture_output=True, timeout=120,
        stdin=subprocess.DEVNULL,
    )  # fmt: skip


# Planning


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, int]:
    """Plan one demo part into every kind of file."""
    folder = tmp_path_factory.mktemp("out")
    options = [f"--{kind}={folder / f'part.{kind}'}" for kind in ("pdf", "csv", "json")]
    status = main(["plan", "stepped_pin", *options, f"--picture={folder / 'part.svg'}"])
    return folder, status


def test_plan_writes_every_file(outputs: tuple[Path, int]) -> None:
    folder, status = outputs
    assert status == 0
    assert (folder / "part.pdf").read_bytes().startswith(b"%PDF")
    assert b"<svg" in (folder / "part.svg").read_bytes()
    plan = msgspec.json.decode((folder / "part.json").read_bytes(), type=Plan)
    assert plan.format == "turnsketch-plan"
    assert (folder / "part.csv").read_bytes().count(b"\n") > plan.totals.passes
    assert sorted(p.name for p in folder.iterdir()) == [
        f"part.{kind}" for kind in ("csv", "json", "pdf", "svg")
    ]


def test_the_json_has_the_fields_of_the_outside_contract(outputs: tuple[Path, int]) -> None:
    plan = json.loads((outputs[0] / "part.json").read_bytes())
    top = {"format", "version", "job", "mark", "display_units", "setups", "finished"}
    assert top | {"finished_as_read", "findings", "totals"} <= set(plan)
    assert re.fullmatch("[0-9a-f]{8}", plan["mark"])
    setup = plan["setups"][0]
    shapes = {"part", "blank", "obstacles", "change_point", "tools", "passes", "remaining"}
    assert shapes | {"number", "name", "frame"} <= set(setup)
    step = setup["passes"][0]
    speeds = {"rpm", "surface_speed_m_min", "feed_mm_per_rev", "minutes", "removed_mm3"}
    assert speeds | {"number", "operation", "tool", "start", "moves"} <= set(step)
    assert len(step["readings"]) == len(step["moves"])
    assert set(step["readings"][0]) == {"x", "z"}


def test_the_table_is_aligned_and_says_what_matters(capsys: Capture) -> None:
    assert main(["plan", "stepped_pin"]) == 0
    lines = lines_of(capsys.readouterr().out)
    head = next(i for i, line in enumerate(lines) if line.lstrip().startswith("No  "))
    rule = lines[head + 1]
    assert set(rule) == {"-", " "}
    columns = [match.span() for match in re.finditer("-+", rule)]
    rows = [line for line in lines[head + 2 :] if re.match(r" *\d+  ", line)]
    assert len(rows) > 5
    for row in rows:
        for (_, end), (start, _) in itertools.pairwise(columns):
            assert row[end:start].strip() == ""
    for heading in ("operation", "surface", "tool", "rpm", "feed", "from Z", "set X", "to Z"):
        assert heading in lines[head]
    text = "\n".join(lines)
    for words in ("mark ", "stick-out", "X is a diameter", "passes,", "finished part, as read"):
        assert words in text


def test_findings_stand_worst_first(capsys: Capture) -> None:
    for name in ("capstan_shaft", "filler_cap", "pole_handle", "slender_pin"):
        main(["check", name])
        found = re.findall(r"^(stop|caution|note) ", capsys.readouterr().out, re.MULTILINE)
        assert found == sorted(found, key=("stop", "caution", "note").index)


def test_a_stop_finding_gives_status_1_and_files_are_written(
    tmp_path: Path, capsys: Capture
) -> None:
    pin = load_demo("stepped_pin")
    thin = msgspec.structs.replace(pin.blank, diameter="28")
    job = tmp_path / "thin.job.json"
    job.write_bytes(dumps(msgspec.structs.replace(pin, blank=thin)))
    assert main(["plan", str(job), "--json", str(tmp_path / "plan.json")]) == 1
    assert capsys.readouterr().out.count("\nstop") >= 1
    plan = json.loads((tmp_path / "plan.json").read_bytes())
    assert "stop" in {finding["severity"] for finding in plan["findings"]}
    assert main(["check", str(job)]) == 1


def test_a_file_on_standard_output_sends_the_table_to_standard_error() -> None:
    done = run("plan", "stepped_pin", "--json", "-")
    assert done.returncode == 0
    assert json.loads(done.stdout)["format"] == "turnsketch-plan"
    assert b"passes," in done.stderr


def test_two_files_cannot_both_go_to_standard_output(capsys: Capture) -> None:
    assert main(["plan", "stepped_pin", "--json", "-", "--csv", "-"]) == 2
    assert len(lines_of(capsys.readouterr().err)) == 1


def test_a_shop_file_may_be_given(tmp_path: Path, capsys: Capture) -> None:
    bad = tmp_path / "shop.json"
    bad.write_text('{"format": "turnsketch-shop", "version": 1, "colour": "green"}')
    assert main(["check", "stepped_pin", "--shop", str(bad)]) == 2
    expected = f'turnsketch: {bad}: the field "colour" is not known here; it may be "format", '
    (line,) = lines_of(capsys.readouterr().err)
    assert line.startswith(expected)
    assert line.endswith('"clearances" or "limits"')
    bad.write_text('{"format": "turnsketch-shop", "version": 1}')
    assert main(["check", "stepped_pin", "--shop", str(bad)]) == 2
    assert "lathe" in capsys.readouterr().err


# The other verbs


def test_the_shop_is_listed_with_every_name_that_a_job_may_use(capsys: Capture) -> None:
    assert main(["shop"]) == 0
    printed = capsys.readouterr().out
    shop = demo_shop()
    names = [*(m.name for m in shop.lathes), *(c.name for c in shop.chucks)]
    names += [*(d.name for d in shop.drivers), *(t.name for t in shop.tools)]
    names += [m.name for m in shop.materials]
    assert [name for name in names if name not in printed] == []
    for bar in shop.bars:
        assert re.search(rf"^{re.escape(bar.size)} +{bar.skin}", printed, re.MULTILINE)
    assert [line for line in lines_of(printed) if len(line) > 100] == []


def test_a_shop_with_nothing_in_it_is_listed_too(tmp_path: Path, capsys: Capture) -> None:
    bare = tmp_path / "shop.json"
    bare.write_text('{"format": "turnsketch-shop", "version": 1, "name": "Bare"}')
    assert main(["shop", "--shop", str(bare)]) == 0
    assert capsys.readouterr().out.count("none") == 5


def test_the_table_of_a_shop_is_aligned() -> None:
    for fit in (str, lambda text: fitted(text, "ascii")):
        lines = list(shop_lines(demo_shop(), fit))
        start = next(i for i, line in enumerate(lines) if line.startswith("LATHES"))
        column = lines[start].index("swing")
        for line in lines[start + 1 : start + 1 + len(demo_shop().lathes)]:
            assert line[column - 1] == " "
            assert line[column] != " "


@pytest.mark.parametrize(
    ("where", "said"),
    [
        ("part.sections[1].diameter", "part.sections[1].diameter (section 2)"),
        ("setups[0].operations[2].depth", "setups[0].operations[2].depth (setup 1, operation 3)"),
        ("setups[0].sections[1]", "setups[0].sections[1] (setup 1, entry 2)"),
        (
            "setups[0].operations[1] (rough)",
            "setups[0].operations[1] (rough; setup 1, operation 2)",
        ),
        ("job: part.sections[1]", "job: part.sections[1] (section 2)"),
        ("tools[3]", "tools[3] (entry 4)"),
        ("units", "units"),
    ],
)
def test_a_path_that_counts_from_0_is_said_from_1(where: str, said: str) -> None:
    assert counted(where) == said


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('"grip": "25"', '"grip": "-25"'), "grip must be more than zero"),
        (('"grip": "25"', '"gripp": "25"'), 'did you mean "grip"?'),
        (('"grip": "25"', '"grip": 25'), 'write "25" in quotes'),
        (('"units": "mm"', '"units": "cm"'), 'give "inch" or "mm"'),
        (('"25 h6"', '"25 h6 6"'), 'after "25 h6" there is "6" too much'),
        (('"25 h6"', '"25 h66"'), "sections[1].diameter (section 2): "),
    ],
)
def test_a_slip_of_a_trainee_gets_its_remedy(
    change: tuple[str, str], said: str, tmp_path: Path, capsys: Capture
) -> None:
    text = dumps(load_demo("stepped_pin")).decode("utf-8")
    assert text.count(change[0]) >= 1
    job = tmp_path / "slip.job.json"
    job.write_text(text.replace(*change, 1), encoding="utf-8")
    assert main(["check", str(job)]) == 2
    (line,) = lines_of(capsys.readouterr().err)
    assert said in line


def test_schema_prints_json(capsys: Capture) -> None:
    for name in ("job", "plan", "shop"):
        assert main(["schema", name]) == 0
        assert json.loads(capsys.readouterr().out)["title"] == f"turnsketch {name}"


def test_demo_lists_shows_and_copies(tmp_path: Path, capsys: Capture) -> None:
    assert main(["demo"]) == 0
    assert [line.split()[0] for line in lines_of(capsys.readouterr().out)] == list(demo_names())
    assert main(["demo", "knob"]) == 0
    assert "turnsketch plan knob" in capsys.readouterr().out
    assert main(["demo", "knob", "--copy-to", str(tmp_path)]) == 0
    assert load(tmp_path / "knob.job.json") == load_demo("knob")
    assert main(["demo", "knob", "--copy-to", str(tmp_path)]) == 2
    assert "already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["demo_parts"], "demo_parts: this is a folder"),
        (["plann", "x.job.json"], '"plann" is no verb'),
        (["plan"], "JOB"),
        (["plan", "none.job.json"], "none.job.json: there is no such job file"),
        (["plan", "."], ".: this is a folder"),
        (["plan", "knob", "--paper", "A3"], "--paper"),
        (["plan", "knob", "--picture", "x.bmp"], ".svg"),
        (["plan", "knob", "--pdf", "x.txt"], 'x.txt: the name of a pass sheet ends in ".pdf"'),
        (["plan", "knob", "--csv", "x.xls"], 'ends in ".csv"'),
        (["plan", "knob", "--json", "plan"], 'ends in ".json"'),
        (["shop", "--shop", "none.json"], "none.json: there is no such shop file"),
        (["plan", "knob", "--pdf", "no/such/folder/x.pdf"], "no/such/folder/x.pdf"),
        (["plan", "knob", "--shop", "none.json"], "none.json: there is no such shop file"),
        (["plan", "knob", "extra"], "extra"),
        (["schema", "desk"], "desk"),
        (["demo", "anchor"], "anchor"),
        (["demo", "--copy-to", "."], "name"),
        (["convert", "part.dxf", "--to", "part.job.json"], "part.dxf"),
        (["--nothing"], "--nothing"),
        (["plan", "a\nb"], "a b"),
    ],
)
def test_bad_usage_is_told_in_one_line(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    (tmp_path / "demo_parts").mkdir()
    monkeypatch.chdir(tmp_path)
    assert main(words) == 2
    captured = capsys.readouterr()
    (line,) = lines_of(captured.err)
    assert line.startswith("turnsketch: ")
    assert said in line
    assert captured.out == ""


@pytest.mark.parametrize("words", [["--help"], ["plan", "--help"], ["--version"]])
def test_help_is_no_error(words: list[str], capsys: Capture) -> None:
    assert main(words) == 0
    assert "turnsketch" in capsys.readouterr().out


def test_an_interrupt_gives_130(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    monkeypatch.setattr("turnsketch.document.files.load", interrupted)
    assert main(["plan", __file__]) == 130
    assert lines_of(capsys.readouterr().err) == ["turnsketch: interrupted"]


def interrupted(path: str) -> None:
    raise KeyboardInterrupt


def test_a_fault_of_the_program_is_one_line_too(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.setattr("turnsketch.document.files.load", faulty)
    assert main(["plan", __file__]) == 2
    (line,) = lines_of(capsys.readouterr().err)
    assert "ZeroDivisionError" in line
    monkeypatch.setenv("TURNSKETCH_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        main(["plan", __file__])


def faulty(path: str) -> float:
    return 1 / 0


# Malformed files


def test_there_are_a_hundred_malformed_files() -> None:
    names = [name for name, _ in malformed_jobs()]
    assert len(names) >= 100
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("number", "name", "data"),
    [(i, name, data) for i, (name, data) in enumerate(malformed_jobs())],
    ids=[name for name, _ in malformed_jobs()],
)
def test_a_malformed_file_gives_one_clear_line(
    number: int, name: str, data: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit 2 and one line that begins with the file's name, whatever the console's encoding."""
    path = tmp_path / "bad Ø.job.json"
    path.write_bytes(data)
    encoding = ENCODINGS[number % len(ENCODINGS)]
    out, err = io.BytesIO(), io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, encoding))
    monkeypatch.setattr(sys, "stderr", io.TextIOWrapper(err, encoding))
    assert main(["check", str(path)]) == 2
    sys.stderr.flush()
    told = err.getvalue().decode(encoding)
    (line,) = lines_of(told)
    assert line.startswith(f"turnsketch: {fitted(str(path), encoding)}: ")
    assert "Traceback" not in line
    assert "fault of the program" not in line
    assert 20 < len(line) - len(str(path)) < 400
    assert out.getvalue() == b""


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
@pytest.mark.parametrize("name", ["duplicate key", "bad text Ø"])
def test_a_malformed_file_in_a_process_of_its_own(name: str, encoding: str, tmp_path: Path) -> None:
    path = tmp_path / "bad Ø.job.json"
    path.write_bytes(dict(malformed_jobs())[name])
    done = run("plan", str(path), PYTHONIOENCODING=encoding)
    assert done.returncode == 2
    assert done.stdout == b""
    (line,) = lines_of(done.stderr.decode(encoding).replace("\r\n", "\n"))
    assert line.startswith("turnsketch: ")


# Consoles


def test_what_a_console_cannot_show_is_written_in_other_letters() -> None:
    assert fitted("Ø25 ±0.1 1x45°", "ascii") == "dia 25 +-0.1 1x45 deg"
    assert fitted("Ø25", "latin-1") == "Ø25"
    assert fitted("Ø25", "cp437") == "dia 25"
    assert fitted("漢", "ascii") == "\\u6f22"
    assert one_line("a\nb\x1b[31m\u2028c") == "a b?[31m c"


def test_the_table_fits_every_console() -> None:
    for encoding in ("ascii", "cp1252"):
        done = run("plan", "shaft_end", PYTHONIOENCODING=encoding)
        assert done.returncode == 0, done.stderr
        assert b"\\x" not in done.stdout
        assert b"\\u" not in done.stdout


def test_a_reader_that_leaves_early_is_no_error() -> None:
    command = f"{sys.executable} -m turnsketch schema plan | head -1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, timeout=60)
    assert done.stdout == b"{\n0\n"
    assert done.stderr == b""


def test_a_full_disk_is_told() -> None:
    if not os.path.exists("/dev/full"):  # not every system has it
        return
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "turnsketch", "schema", "plan"],
            stdout=full, stderr=subprocess.PIPE, timeout=60,
        )  # fmt: skip
    assert done.returncode == 2
    (line,) = lines_of(done.stderr.decode())
    assert "No space left" in line


def test_no_console_at_all() -> None:
    Console(None).line("into the dark")
    Console(None).close()


def test_the_programs_own_setups_are_planned_and_explained(capsys: Capture) -> None:
    assert main(["check", "slender_pin", "--propose-setups"]) == 0
    told = capsys.readouterr().out
    assert "setup 1: Front end, on the centre; Three-jaw 125, grip 13.5, on the centre" in told
    assert "why: so long it would whip when it is parted off: it is sawn off" in told
    assert "why: it is 7.7 times as long as the bar is thick" in told
