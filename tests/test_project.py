"""The project itself: its layout, the direction of its imports, its packaging, its README."""

from __future__ import annotations

import ast
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import turnsketch

ROOT = Path(__file__).resolve().parent.parent
MODULES = sorted(ROOT.glob("turnsketch/**/*.py"))
MOST_LINES = 600
IGNORED = shutil.ignore_patterns(
    ".git", ".venv", "*.egg-info", "__pycache__", "build", "dist", ".*_cache", ".hypothesis"
)


def run(*command: str | Path, cwd: Path, code: int | None = 0) -> subprocess.CompletedProcess[str]:
    """Run a command away from this folder, without the paths that this run was given."""
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "COV"))}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd, env=environment, text=True, capture_output=True, stdin=subprocess.DEVNULL,
        timeout=120,
    )  # fmt: skip
    if code is not None:
        assert done.returncode == code, done.stdout + done.stderr
    return done


# Layout


def test_the_files_that_a_newcomer_looks_for_are_there() -> None:
    for name in ("README.md", "DEVELOPERS.md", "pyproject.toml", ".gitignore", ".ci/run"):
        assert (ROOT / name).is_file(), name
    assert os.access(ROOT / ".ci/run", os.X_OK)


def test_every_package_is_installed() -> None:
    configured = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    packages = set(configured["tool"]["setuptools"]["packages"])
    found = {".".join(p.parent.relative_to(ROOT).parts) for p in MODULES}
    assert found | {"turnsketch.resources", "turnsketch.demo_parts"} == packages


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_modules_are_small_named_and_finished(path: Path) -> None:
    text = path.read_text("utf-8")
    assert text.count("\n") <= MOST_LINES
    tree = ast.parse(text)
    assert ast.get_docstring(tree), "a module says what it is for"
    names = {t.id for n in tree.body if isinstance(n, ast.Assign | ast.AnnAssign)
             for t in (n.targets if isinstance(n, ast.Assign) else [n.target])
             if isinstance(t, ast.Name)}  # fmt: skip
    assert "__all__" in names or path.name == "__init__.py"
    assert not re.search(r"\b(TODO|FIXME|XXX)\b|NotImplementedError", text)


def test_tables_name_their_source() -> None:
    tables = list(ROOT.glob("resources/tables/*.csv"))
    assert tables
    for table in tables:
        assert table.read_text("utf-8").startswith("#"), table.name


# Imports


def lint_imports(folder: Path, code: int) -> str:
    command = "import sys; from importlinter.cli import lint_imports_command as c; sys.exit(c())"
    return run(sys.executable, "-c", command, "--no-cache", cwd=folder, code=code).stdout


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("copy") / "project"
    shutil.copytree(ROOT, folder, ignore=IGNORED)
    return folder


@pytest.mark.parametrize(
    ("module", "line", "contract"),
    [
        ("part/text.py", "import PySide6.QtCore", "Only the desk imports Qt"),
        ("sheet/numbers.py", "from reportlab import rl_config", "import reportlab"),
        ("sheet/numbers.py", "import matplotlib", "Only picture imports matplotlib"),
        ("shop/records.py", "from turnsketch import job", "Imports point one way"),
        ("checking/records.py", "from turnsketch.geometry import minkowski", "shares no code"),
        (
            "geometry/elements.py",
            "import typing\nif typing.TYPE_CHECKING:\n    from turnsketch.part import text",
            "Imports point one way",
        ),
    ],
)
def test_a_forbidden_import_is_seen(copy: Path, module: str, line: str, contract: str) -> None:
    path = copy / "turnsketch" / module
    before = path.read_text("utf-8")
    try:
        path.write_text(f"{before}\n{line}\n", "utf-8")
        report = lint_imports(copy, code=1)
    finally:
        path.write_text(before, "utf-8")
    assert re.search(rf"{contract}.* BROKEN", report), report


def test_importing_the_package_loads_nothing_heavy(tmp_path: Path) -> None:
    code = (
        "import sys, turnsketch, turnsketch.cli\n"
        "heavy = {'numpy', 'shapely', 'matplotlib', 'reportlab', 'PySide6', 'msgspec'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    run(sys.executable, "-c", code, cwd=tmp_path)


def test_public_names_are_there_and_share_no_name_with_a_module() -> None:
    modules = {path.stem for path in ROOT.glob("turnsketch/*")}
    for name in turnsketch.__all__:
        assert callable(getattr(turnsketch, name))
        assert name not in modules
    assert set(turnsketch.__all__) <= set(dir(turnsketch))
    with pytest.raises(AttributeError):
        turnsketch.nothing  # noqa: B018


# Packaging


@pytest.mark.parametrize("way", ["wheel", "editable"])
def test_data_files_are_found_while_standing_elsewhere(
    copy: Path, tmp_path: Path, way: str
) -> None:
    """Installed both ways, the package finds its resources and demo parts from any folder."""
    site, elsewhere = tmp_path / "site", tmp_path / "elsewhere"
    elsewhere.mkdir()
    pip = (sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check")
    offline = ("--no-deps", "--no-build-isolation", "--no-index", "--target", site)
    run(*pip, *offline, *(["-e"] if way == "editable" else []), copy, cwd=elsewhere)
    code = (
        f"import site; site.addsitedir({str(site)!r})\n"
        "from importlib.resources import files\n"
        "import turnsketch\n"
        "print(turnsketch.__file__)\n"
        "shop = files('turnsketch.resources').joinpath('demo_shop.json').read_text('utf-8')\n"
        "part = files('turnsketch.demo_parts').joinpath('knob.job.json').read_text('utf-8')\n"
        "assert 'turnsketch-shop' in shop and 'turnsketch-job' in part\n"
        "assert files('turnsketch').joinpath('py.typed').is_file()\n"
    )
    # -I -S: neither this folder nor the installation that runs the test is looked at.
    found = run(sys.executable, "-I", "-S", "-c", code, cwd=elsewhere).stdout.strip()
    assert Path(found).is_relative_to(copy if way == "editable" else site)


# README


def readme_commands() -> list[str]:
    lines = (ROOT / "README.md").read_text("utf-8").splitlines()
    return [line.strip() for line in lines if line.startswith("    python3 -m venv")]


def test_the_readme_has_two_commands_that_do_all_setup() -> None:
    plan, tests = readme_commands()
    assert plan.startswith("python3 -m venv .venv && .venv/bin/pip install")
    assert tests.endswith(".venv/bin/python -m pytest")
    assert "-e '.[test,lint]'" in tests


def test_the_checks_end_with_the_readmes_test_command() -> None:
    script = (ROOT / ".ci/run").read_text("utf-8").rstrip().splitlines()
    assert script[-1] == readme_commands()[1]
    assert not re.search(r"https?://", "\n".join(script))


def test_the_readmes_plan_command_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from turnsketch.cli import main

    words = shlex.split(readme_commands()[0].rpartition("&&")[2])
    assert words[0] == ".venv/bin/turnsketch"
    (tmp_path / "demo_parts").symlink_to(ROOT / "demo_parts")
    monkeypatch.chdir(tmp_path)
    assert main(words[1:]) == 0
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    assert "passes" in capsys.readouterr().out


def test_the_guide_gives_a_reason_for_every_dependency() -> None:
    configured = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = configured["optional-dependencies"].values()
    wanted = [*configured["dependencies"], *(entry for extra in extras for entry in extra)]
    guide = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    for entry in wanted:
        name = re.split(r"[=<>]", entry)[0]
        assert f"| {name} |" in guide, name
