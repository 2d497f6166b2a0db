"""The wheel: its package is called droplight, works by that name, and claims no other."""

import importlib.util
import os
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path
from types import ModuleType
from typing import Final

import pytest

ROOT: Final = Path(__file__).resolve().parent.parent
INFO: Final = "droplight-0.1.0.dist-info"


@pytest.fixture(scope="module")
def rename() -> ModuleType:
    spec = importlib.util.spec_from_file_location("rename", ROOT / ".wheel/rename.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def unpacked(rename: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel as setuptools would make it of this checkout, renamed and unpacked."""
    folder = tmp_path_factory.mktemp("wheel")
    wheel = folder / "droplight.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        for top, within in (("builder", "builder"), ("theme", "builder/theme")):
            for path in sorted((ROOT / top).rglob("*")):
                if path.is_file() and "__pycache__" not in path.parts:
                    archive.write(path, f"{within}/{path.relative_to(ROOT / top).as_posix()}")
        archive.writestr(f"{INFO}/top_level.txt", "builder\n")
        archive.writestr(f"{INFO}/RECORD", "")
    rename.rename_package(wheel)
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "site")
    return folder / "site"


def run(unpacked: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(unpacked)}
    command = [sys.executable, "-P", *words]
    return subprocess.run(command, cwd=unpacked, env=environment, capture_output=True, text=True, check=False)


def test_the_wheel_claims_one_name(unpacked: Path) -> None:
    assert sorted(path.name for path in unpacked.iterdir()) == ["droplight", INFO]
    assert (unpacked / INFO / "top_level.txt").read_text(encoding="utf-8") == "droplight\n"


def test_the_package_works_by_its_name_alone(unpacked: Path, tmp_path: Path) -> None:
    assert run(unpacked, "-c", "import builder").returncode == 1
    done = run(unpacked, "-m", "droplight", "check", "--library", str(ROOT / "playbooks"))
    assert (done.returncode, done.stderr) == (0, "no findings\n")
    draft = run(unpacked, "-m", "droplight", "draft", "hums", "--area", "wheels", "--library", str(tmp_path / "new"))
    assert draft.returncode == 0
    build = ("build", "--library", str(tmp_path / "new"), "--out", str(tmp_path / "site"))
    assert run(unpacked, "-m", "droplight", *build).returncode == 0
    assert (tmp_path / "site/playbook/hums.html").exists()


def test_every_file_has_its_hash_in_the_record(unpacked: Path) -> None:
    lines = (unpacked / INFO / "RECORD").read_text(encoding="utf-8").splitlines()
    names = [line.split(",")[0] for line in lines]
    assert sorted(names) == sorted(
        p.relative_to(unpacked).as_posix() for p in unpacked.rglob("*") if p.is_file() and "__pycache__" not in p.parts
    )
    assert all(line.split(",")[1].startswith("sha256=") for line in lines if not line.startswith(f"{INFO}/RECORD"))


def test_only_imports_are_renamed(rename: ModuleType) -> None:
    source = '"""Of builder."""\nfrom builder.read import x  # builder\nfrom builder import y\n'
    source += 'from builders import z\nn = "builder"\n'
    assert rename.with_own_imports(source) == (
        '"""Of builder."""\nfrom droplight.read import x  # builder\nfrom droplight import y\nfrom builders import z\n'
        'n = "builder"\n'
    )


def test_an_import_that_cannot_be_renamed_is_refused(rename: ModuleType) -> None:
    with pytest.raises(ValueError, match="which can be renamed"):
        rename.with_own_imports("import builder.read\n")


def test_every_package_of_the_folder_is_in_the_wheel() -> None:
    said = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]["packages"]
    there = {path.parent.relative_to(ROOT).as_posix().replace("/", ".") for path in ROOT.glob("builder/**/__init__.py")}
    assert {name for name in said if not name.startswith("builder.theme")} == there


def test_the_command_of_the_checkout_runs_from_any_folder(tmp_path: Path) -> None:
    """`make site` puts it into .venv/bin; a folder of the same name as the code's is no trouble."""
    bin_folder = tmp_path / ".venv/bin"
    bin_folder.mkdir(parents=True)
    command = bin_folder / "droplight"
    command.write_bytes((ROOT / ".ci/droplight").read_bytes())
    command.chmod(0o755)
    (bin_folder / "python").symlink_to(sys.executable)
    (tmp_path / "builder").symlink_to(ROOT / "builder")
    (tmp_path / "theme").symlink_to(ROOT / "theme")
    elsewhere = tmp_path / "elsewhere"
    (elsewhere / "builder").mkdir(parents=True)
    packages = os.pathsep.join(path for path in sys.path if path.endswith("site-packages"))
    environment = {**os.environ, "PYTHONPATH": packages}
    done = subprocess.run(
        [command, "--version"], cwd=elsewhere, env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout) == (0, "droplight, version 0.1.0\n")
