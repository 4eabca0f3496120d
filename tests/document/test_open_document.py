from __future__ import annotations

import os
from pathlib import Path

import msgspec
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.files import load
from turnsketch.document.open_document import OpenDocument, Recovery, found_recoveries
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.shop.files import demo_shop

PIN = load_demo("stepped_pin")


def noted(text: str) -> Job:
    return msgspec.structs.replace(PIN, note=text)


def test_steps_are_named_and_go_both_ways() -> None:
    document = OpenDocument(PIN)
    document.do(noted("a"), "first")
    document.do(noted("b"), "second")
    assert [s.name for s in document.steps] == ["", "first", "second"]
    assert document.undo() == noted("a")
    assert document.undo() == PIN
    assert document.undo() == PIN, "there is nothing before the first"
    assert document.redo() == noted("a")
    document.do(noted("c"), "third")
    assert document.redo() == noted("c"), "what was undone is forgotten"
    assert [s.name for s in document.steps] == ["", "first", "third"]


def test_what_is_undone_to_the_saved_state_is_not_changed(tmp_path: Path) -> None:
    document = OpenDocument(PIN)
    assert not document.changed
    document.do(noted("a"), "note")
    assert document.changed
    file = document.save(tmp_path / "pin.job.json")
    assert (document.changed, document.path, document.name) == (False, file, "pin")
    assert load(file) == noted("a")
    document.undo()
    assert document.changed
    document.redo()
    assert not document.changed


def test_a_new_job_needs_a_name_to_be_saved() -> None:
    with pytest.raises(InputError, match="no file yet"):
        OpenDocument(PIN).save()


def test_the_mark_tells_states_apart() -> None:
    document = OpenDocument(PIN)
    first = document.mark(demo_shop())
    document.do(noted("a"), "note")
    assert document.mark(demo_shop()) != first
    document.undo()
    assert document.mark(demo_shop()) == first


def test_unsaved_work_is_kept_and_found_when_its_process_is_gone(tmp_path: Path) -> None:
    document = OpenDocument(PIN, tmp_path / "pin.job.json", tmp_path / "aside")
    document.keep_recovery()
    assert not (tmp_path / "aside").exists(), "nothing is changed"
    document.do(noted("a"), "note")
    document.keep_recovery()
    (copy,) = (tmp_path / "aside").iterdir()
    assert found_recoveries(tmp_path / "aside") == (), "this process still runs"
    kept = msgspec.json.decode(copy.read_bytes(), type=Recovery)
    gone = msgspec.structs.replace(kept, process=2**22 + os.getpid() % 1000)
    copy.write_bytes(msgspec.json.encode(gone))
    ((_, found),) = found_recoveries(tmp_path / "aside")
    again = OpenDocument.recovered(found, None)
    assert (again.job, again.changed, again.path) == (noted("a"), True, document.path)
    copy.write_bytes(b"{ torn")
    assert found_recoveries(tmp_path / "aside") == ()


def test_saving_takes_the_copy_away(tmp_path: Path) -> None:
    document = OpenDocument(PIN, None, tmp_path / "aside")
    document.do(noted("a"), "note")
    document.keep_recovery()
    document.save(tmp_path / "pin.job.json")
    assert list((tmp_path / "aside").iterdir()) == []


def test_a_folder_that_cannot_be_made_does_not_stop_the_work(tmp_path: Path) -> None:
    (tmp_path / "aside").write_text("a file stands here")
    document = OpenDocument(PIN, None, tmp_path / "aside")
    document.do(noted("a"), "note")
    document.keep_recovery()
    assert document.job == noted("a")
