"""The program as others have it: out of a wheel, without the clone, and as a hook of pre-commit."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import venv
from importlib import metadata
from pathlib import Path
from zipfile import ZipFile

import pytest
import yaml

from tests.support.commands import ROOT
from tests.support.many_jobs import small

pytestmark = pytest.mark.long

BUILT_FROM = ["checker", "rulesets", "schemas", "pyproject.toml", "setup.py", "MANIFEST.in", "README.md",
              ".pre-commit-hooks.yaml"]  # fmt: skip
DAY = ["--on", "2026-11-25"]
OWN_VARIABLES = ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV")
BIN = "Scripts" if sys.platform == "win32" else "bin"


def run(command: list[str | Path], cwd: Path, stdin: str = "", **more: str) -> subprocess.CompletedProcess[str]:
    environment = {name: value for name, value in os.environ.items() if name not in OWN_VARIABLES} | more
    return subprocess.run(
        command, cwd=cwd, env=environment, input=stdin, capture_output=True, text=True, timeout=600, check=False
    )


def done(command: list[str | Path], cwd: Path, code: int = 0, stdin: str = "", **more: str) -> str:
    """What a command prints, once its exit code is the one expected."""
    found = run(command, cwd, stdin, **more)
    assert code == found.returncode, found.stdout[-3000:] + found.stderr[-3000:]
    return found.stdout + found.stderr


def source(folder: Path) -> Path:
    """A copy of what the wheel is built from, so that no earlier build is in it and none is left in the clone."""
    unwanted = shutil.ignore_patterns("__pycache__", "*.egg-info")
    for name in BUILT_FROM:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=unwanted)
        else:
            folder.mkdir(exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)
    return folder


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    own = [] if int(metadata.version("setuptools").split(".")[0]) < 77 else ["--no-build-isolation"]
    build = [
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        *own,
        "--wheel-dir",
        folder,
        source(folder / "source"),
    ]
    done(build, folder)
    (file,) = folder.glob("*.whl")
    return file


@pytest.fixture(scope="module")
def program(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The `changeout` of an environment that has the wheel and the libraries it needs, and no clone."""
    folder = tmp_path_factory.mktemp("installed")
    venv.create(folder, with_pip=False, symlinks=sys.platform != "win32")
    python = folder / BIN / "python"
    done([sys.executable, "-m", "pip", "--python", python, "install", "-q", "--no-deps", "--no-index", wheel], folder)
    own = Path(done([python, "-c", "import site; print(site.getsitepackages()[0])"], folder).strip())
    libraries = [path for path in sys.path if path.endswith("site-packages")]
    (own / "libraries.pth").write_text("\n".join(libraries), encoding="utf-8")  # no .pth file in there is followed
    where = done([python, "-c", "import checker; print(checker.__file__)"], folder)
    assert Path(where).is_relative_to(own), "it is the clone that is tried, not the wheel"
    return folder / BIN / "changeout"


def test_the_wheel_holds_every_shipped_ruleset_and_schema_and_nothing_else_beside_the_program(wheel: Path) -> None:
    with ZipFile(wheel) as file:
        names = file.namelist()
    inside = {name.removeprefix("checker/_shipped/") for name in names if name.startswith("checker/_shipped/")}
    wanted = {path.relative_to(ROOT).as_posix() for top in ("rulesets", "schemas") for path in (ROOT / top).rglob("*")
              if path.is_file()}  # fmt: skip
    assert wanted == inside
    assert {"checker"} == {name.split("/")[0] for name in names if ".dist-info/" not in name}


def test_installed_from_a_wheel_the_program_runs_in_an_empty_folder(program: Path, tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text(json.dumps(small("a")), encoding="utf-8")
    assert "MAX" in done([program, "check", "a.json", *DAY], tmp_path, code=1).upper()
    done([program, "check", "a.json", "--format", "page", "--output", "a.html", *DAY], tmp_path, code=1)
    assert "<html" in (tmp_path / "a.html").read_text(encoding="utf-8")

    done([program, "interview", "b.json", *DAY], tmp_path, stdin="1\nstop\n")
    assert "scope" in json.loads((tmp_path / "b.json").read_text(encoding="utf-8"))

    done([program, "rules", "new", "ash-county", "--uses", "larch-state", "--kind", "local", "--covers", "xx-ash",
          "--adopts", "nec:2023:2026-01-01"], tmp_path)  # fmt: skip
    rules = tmp_path / "ash-county" / "rules.yaml"
    named = re.sub(r".*\$schema=", "", rules.read_text(encoding="utf-8").splitlines()[0])
    schema = (ROOT / "schemas" / "ruleset.schema.json").read_bytes()
    assert schema == (rules.parent / named).read_bytes(), "an editor finds the schema of the file, beside it"
    assert not Path(named).is_absolute(), "the folder may be moved to another machine"
    propane = ["--refrigerant", "propane", "--pressure", "70 psig"]
    assert "CoolProp" in done([program, "compute", "saturation", *propane], tmp_path)
    assert "ash-county" in done([program, "rules", "overview", "--rules", "ash-county", "--place", "xx-ash"], tmp_path)


def test_the_hook_checks_the_jobs_of_a_commit(program: Path, tmp_path: Path) -> None:
    """As pre-commit calls it: in the top folder of the repository, its entry, then the changed files that fit its pattern."""
    hook, rules = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    assert ("changeout rules lint", False) == (rules["entry"], rules["pass_filenames"])
    assert {"id", "name", "entry", "language", "files"} <= set(hook)
    changed = [
        "README.md",
        "jobs/2026/a.json",
        "schemas/job.schema.json",
        "jobs/b.json",
        "jobs.json",
        "old/jobs/c.jsonl.gz",
    ]
    files = [name for name in changed if re.search(hook["files"], name)]
    assert ["jobs/2026/a.json", "jobs/b.json", "old/jobs/c.jsonl.gz"] == files
    for name in files[:2]:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(json.dumps(small(Path(name).stem)), encoding="utf-8")
    entry, *words = shlex.split(hook["entry"])
    stopped = done([program.with_name(entry), *words, *files[:2]], tmp_path, code=1)
    assert "50 A" in stopped
    assert "authority having jurisdiction decides" in stopped


@pytest.mark.network
@pytest.mark.skipif(not shutil.which("git"), reason="there is no git here")
def test_pre_commit_installs_the_hook_and_a_commit_of_a_job_that_fails_is_stopped(tmp_path: Path) -> None:
    """A commit in another repository: pre-commit clones this one, installs it and calls the hook as it does for anyone."""
    about = {"GIT_AUTHOR_NAME": "A", "GIT_AUTHOR_EMAIL": "a@example.org", "GIT_COMMITTER_NAME": "A",
             "GIT_COMMITTER_EMAIL": "a@example.org", "GIT_CONFIG_GLOBAL": os.devnull, "PRE_COMMIT_HOME": str(tmp_path / "kept"),
             "CHANGEOUT_CACHE": str(tmp_path / "cache")}  # fmt: skip
    tool = source(tmp_path / "tool")
    done(["git", "init", "-q"], tool, **about)
    done(["git", "add", "--all", "--force"], tool, **about)
    done(["git", "commit", "-q", "-m", "The program"], tool, **about)
    revision = done(["git", "rev-parse", "HEAD"], tool, **about).strip()

    office = tmp_path / "office"
    (office / "jobs" / "2026").mkdir(parents=True)
    done(["git", "init", "-q"], office, **about)
    config = f"repos:\n- repo: {tool.as_uri()}\n  rev: {revision}\n  hooks:\n  - id: changeout-check\n"
    (office / ".pre-commit-config.yaml").write_text(config, encoding="utf-8")
    done([sys.executable, "-m", "pre_commit", "install"], office, **about)
    (office / "notes.json").write_text("no job", encoding="utf-8")
    done(["git", "add", "."], office, **about)
    first = done(["git", "commit", "-m", "No job in it"], office, **about)
    assert "no files to check" in first

    (office / "jobs" / "2026" / "a.json").write_text(json.dumps(small("a")), encoding="utf-8")
    done(["git", "add", "."], office, **about)
    stopped = done(["git", "commit", "-m", "A job that fails"], office, code=1, **about)
    assert "hook id: changeout-check" in stopped
    assert "exit code: 1" in stopped
    assert "authority having jurisdiction decides" in stopped
    assert "Traceback" not in stopped
