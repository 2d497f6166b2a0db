"""The browser scripts hold to their types: by the TypeScript checker, under its strict rules."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from filelock import FileLock

from builder.publish.data.jobschema import MADE, job_schema
from builder.publish.pages.theme import theme_folder
from tests.browser.scripts import node

CONFIGURATION: Final = Path(__file__).with_name("tsconfig.json")
NAMES: Final = {"integer": "number", "number": "number", "string": "string", "boolean": "boolean", "null": "null"}
SCHEMA: Final = """
export interface Schema {
  $ref?: string; anyOf?: Schema[]; const?: unknown; enum?: unknown[]; type?: string; pattern?: string;
  minLength?: number; maxLength?: number; minimum?: number; minItems?: number;
  items?: Schema; properties?: Record<string, Schema>; required?: string[];
}
export const JOB: Schema & { $defs: Record<string, Schema> };
"""


def declared(schema: dict[str, Any]) -> str:
    """The type of what a schema describes, in TypeScript."""
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "anyOf" in schema:
        return " | ".join(map(declared, schema["anyOf"]))
    if "const" in schema or "enum" in schema:
        return " | ".join(json.dumps(value) for value in schema.get("enum", [schema.get("const")]))
    if schema["type"] == "array":
        return f"({declared(schema['items'])})[]"
    if schema["type"] == "object":
        needed = schema.get("required", ())
        fields = (
            f"{name}{'' if name in needed else '?'}: {declared(of)};" for name, of in schema["properties"].items()
        )
        return f"{{ {' '.join(fields)} }}"
    return NAMES[schema["type"]]


def declarations() -> Iterator[str]:
    schema = job_schema()
    for name, of in {**schema["$defs"], "Job": schema}.items():
        yield f"export interface {name} {declared(of)}\n"
    yield SCHEMA


@pytest.fixture(scope="session")
def checker(session_dir: Path) -> Path:
    with FileLock(session_dir / "node.lock"):
        return node.find_or_install() / "node_modules" / "typescript" / "bin" / "tsc"


@pytest.fixture
def scripts(tmp_path: Path) -> Path:
    """A copy of the theme's scripts with the types of what the build makes for them."""
    folder = tmp_path / "scripts"
    shutil.copytree(theme_folder() / "scripts", folder)
    made = folder / MADE.replace(".js", ".d.ts")
    made.parent.mkdir()
    made.write_text("".join(declarations()), encoding="utf-8")
    shutil.copy(CONFIGURATION, tmp_path)
    return folder


def test_the_scripts_hold_to_their_types(scripts: Path, checker: Path) -> None:
    done = node.run(checker, "--project", ".", "--pretty", "false", cwd=scripts.parent)
    assert (done.stdout, done.stderr, done.returncode) == ("", "", 0)
