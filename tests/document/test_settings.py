from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from turnsketch.document.settings import (
    FOLDER_VARIABLE,
    Settings,
    config_folder,
    load_settings,
)


def test_settings_come_back_as_they_were(tmp_path: Path) -> None:
    kept = Settings(theme="dark", layout={"window": b"\x00\xff"}, units="inch").saved(
        tmp_path / "a"
    )
    assert load_settings(tmp_path / "a") == kept


@pytest.mark.parametrize("content", [b"", b"{", b'{"theme": "pink"}', b"\xff\xfe"])
def test_damaged_settings_are_fresh_ones(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "desk.json").write_bytes(content)
    assert load_settings(tmp_path) == Settings()


def test_unknown_settings_of_a_newer_version_are_passed_over(tmp_path: Path) -> None:
    (tmp_path / "desk.json").write_bytes(msgspec.json.encode({"theme": "dark", "later": 1}))
    assert load_settings(tmp_path).theme == "dark"


def test_recent_files_are_few_and_each_stands_once(tmp_path: Path) -> None:
    settings = Settings()
    for number in range(12):
        settings = settings.with_recent(tmp_path / f"{number}.job.json")
    settings = settings.with_recent(tmp_path / "9.job.json")
    names = [Path(name).name for name in settings.recent]
    assert names[:2] == ["9.job.json", "11.job.json"]
    assert len(names) == len(set(names)) == 8
    assert settings.without_recent(settings.recent[0]).recent == settings.recent[1:]


def test_the_folder_can_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    assert config_folder() == tmp_path
    monkeypatch.delenv(FOLDER_VARIABLE)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setattr("sys.platform", "linux")
    assert config_folder() == tmp_path / "turnsketch"


def test_a_disk_that_refuses_is_borne(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("a file")
    assert Settings(theme="dark").saved(tmp_path / "a").theme == "dark"
