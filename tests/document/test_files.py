"""Job files: what is saved is read back, and a good copy always stands on the disk."""

from __future__ import annotations

import json
import math
import os
from dataclasses import dataclass
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.document.jobs import PIN, jobs
from turnsketch.document.demo import copy_demo, demo_bytes, demo_names, load_demo
from turnsketch.document.files import dumps, good_copy, load, loads, save, write_bytes
from turnsketch.errors import InputError
from turnsketch.job import Job


@given(jobs())
def test_a_saved_job_is_read_back_the_same(job: Job) -> None:
    assert loads(dumps(job)) == job


@given(jobs(), st.data())
def test_a_cut_off_file_is_never_taken_for_a_job(job: Job, data: st.DataObject) -> None:
    whole = dumps(job)
    end = data.draw(st.integers(0, len(whole.rstrip()) - 1))
    with pytest.raises(InputError):
        loads(whole[:end])


def test_load_and_save(tmp_path: Path) -> None:
    path = tmp_path / "pin.job.json"
    save(PIN, path)
    assert load(path) == PIN
    assert os.listdir(tmp_path) == ["pin.job.json"]


def test_the_heading_stands_in_the_file() -> None:
    written = json.loads(dumps(PIN))
    assert list(written)[:3] == ["format", "version", "units"]
    assert (written["format"], written["version"]) == ("turnsketch-job", 1)


def test_the_last_good_copy_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "pin.job.json"
    save(PIN, path)
    second = msgspec.structs.replace(PIN, title="second")
    save(second, path)
    assert load(good_copy(path)) == PIN
    save(second, path)  # nothing new: the copy stays the one before
    assert load(good_copy(path)) == PIN


def test_a_damaged_file_does_not_push_out_the_good_copy(tmp_path: Path) -> None:
    path = tmp_path / "pin.job.json"
    save(PIN, path)
    save(msgspec.structs.replace(PIN, title="second"), path)
    path.write_bytes(b'{"format": "turnsk')
    save(msgspec.structs.replace(PIN, title="third"), path)
    assert load(good_copy(path)) == PIN
    assert load(path).title == "third"


def test_a_job_that_may_not_be_planned_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "pin.job.json"
    save(PIN, path)
    with pytest.raises(InputError):
        save(msgspec.structs.replace(PIN, setups=()), path)
    assert load(path) == PIN


@dataclass
class Accident:
    """Stands in for the swap of names and fails."""

    reason: BaseException

    def __call__(self, old: object, new: object) -> None:
        raise self.reason


@pytest.mark.parametrize(
    ("reason", "seen"), [(OSError(28, "No space left"), InputError), (KeyboardInterrupt(), None)]
)
def test_a_failed_write_leaves_the_old_file_and_no_scraps(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    reason: BaseException,
    seen: type[BaseException] | None,
) -> None:
    path = tmp_path / "pin.job.json"
    save(PIN, path)
    monkeypatch.setattr(os, "replace", Accident(reason))
    with pytest.raises(seen or type(reason)):
        write_bytes(b"new", path)
    assert load(path) == PIN
    assert os.listdir(tmp_path) == ["pin.job.json"]


def test_permissions_and_links_survive(tmp_path: Path) -> None:
    path, link = tmp_path / "pin.job.json", tmp_path / "link.job.json"
    save(PIN, path)
    path.chmod(0o600)
    link.symlink_to(path)
    save(msgspec.structs.replace(PIN, title="second"), link)
    assert link.is_symlink()
    assert path.stat().st_mode & 0o777 == 0o600
    assert load(path).title == "second"


def test_saving_where_there_is_no_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        save(PIN, tmp_path / "none" / "pin.job.json")


def test_errors_begin_with_the_name_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "pin.job.json"
    path.write_bytes(dumps(PIN).replace(b'"cylinder"', b'"cone"', 1))
    with pytest.raises(InputError) as caught:
        load(path)
    assert str(caught.value).startswith(f"{path}: part.sections[0].kind: ")


def test_negative_zero_is_read_as_zero() -> None:
    section = {"kind": "cylinder", "drawn": {"to": [-0.0, 6]}}
    tree = json.loads(dumps(PIN))
    tree["part"]["sections"][0] |= section
    drawn = loads(json.dumps(tree).encode()).part.sections[0].drawn
    assert drawn is not None
    assert math.copysign(1.0, drawn.to.z) == 1.0


DEMO_PARTS = (
    "capstan_shaft",
    "drill_arbor",
    "filler_cap",
    "flanged_bush",
    "knob",
    "pole_handle",
    "post_cap",
    "rope_roller",
    "shaft_end",
    "slender_pin",
    "stepped_pin",
)


def test_demo_parts_are_jobs_of_one_boatyard(tmp_path: Path) -> None:
    assert demo_names() == DEMO_PARTS
    for name in demo_names():
        job = load_demo(name)
        assert loads(dumps(job)) == job
        assert job.part.number.startswith("BY-")
        copied = copy_demo(name, tmp_path)
        assert copied.read_bytes() == demo_bytes(name)
        with pytest.raises(InputError, match="already"):
            copy_demo(name, tmp_path)
    with pytest.raises(InputError, match="no demo part"):
        load_demo("anchor")
    with pytest.raises(InputError, match="no such folder"):
        copy_demo("knob", tmp_path / "none")
