"""The library that speed is measured on is sound and always the same."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def generate(folder: Path, count: int) -> dict[str, bytes]:
    script = ROOT / "tests" / "bench" / "generate.py"
    subprocess.run([sys.executable, str(script), str(folder), str(count)], check=True)
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*.yaml"))}


def test_a_generated_library_has_no_findings(
    tmp_path: Path, run_builder: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    files = generate(tmp_path / "library", 12)
    done = run_builder("check", "--library", tmp_path / "library")
    assert (done.returncode, done.stderr) == (0, "no findings\n")
    assert len(files) == 12 + len(["library", "tools", "parts", "access", "hazards"])


def test_the_same_count_gives_the_same_bytes(tmp_path: Path) -> None:
    assert generate(tmp_path / "once", 8) == generate(tmp_path / "twice", 8)
