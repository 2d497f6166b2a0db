"""The browser scripts hold to their types: by the TypeScript checker, under its strict rules."""

import json
import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, Final

import pytest
from filelock import FileLock

from builder.publish.data.jobschema import MADE, car_schema, job_schema
from builder.publish.pages.theme import theme_folder
from tests.browser.scripts import node

CONFIGURATION: Final = Path(__file__).with_name("tsconfig.json")
PAGES: Final = ("DOM", "DOM.Iterable")
WORKERS: Final = ("WebWorker",)
NAMES: Final = {"integer": "number", "number": "number", "string": "string", "boolean": "boolean", "null": "null"}
SCHEMA: Final = """
export interface Schema {
  $ref?: string; anyOf?: Schema[]; const?: unknown; enum?: unknown[]; type?: string; pattern?: string;
  maxLength?: number; minimum?: number; minItems?: number;
  items?: Schema; properties?: Record<string, Schema>; required?: string[]; additionalProperties?: Schema;
}
export const JOB: Schema & { $defs: Record<string, Schema> };
export const CAR: Schema & { $defs: Record<string, Schema> };
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
        needed, named = schema.get("required", ()), schema.get("properties", {})
        fields = [f"{name}{'' if name in needed else '?'}: {declared(of)};" for name, of in named.items()]
        if others := schema.get("additionalProperties"):
            fields.append(f"[name: string]: {declared(others)};")
        return f"{{ {' '.join(fields)} }}"
    return NAMES[schema["type"]]


def declarations() -> Iterator[str]:
    job, car = job_schema(), car_schema()
    for name, of in {**car["$defs"], **job["$defs"], "Car": car, "Job": job}.items():
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
    return folder


@pytest.fixture
def check(tmp_path: Path, checker: Path) -> Callable[..., list[str]]:
    """What the checker says of the scripts in a folder; ``library`` is what their surroundings give them."""

    def check(folder: Path, library: Sequence[str] = PAGES) -> list[str]:
        configuration = json.loads(CONFIGURATION.read_text(encoding="utf-8"))
        configuration["compilerOptions"]["lib"] += library
        configuration["include"] = [folder.name]
        (tmp_path / "tsconfig.json").write_text(json.dumps(configuration), encoding="utf-8")
        done = node.run(checker, "--project", ".", "--pretty", "false", cwd=tmp_path)
        assert done.stderr == ""
        return done.stdout.splitlines()

    return check


def test_the_scripts_hold_to_their_types(scripts: Path, check: Any) -> None:
    assert check(scripts) == []


def test_the_service_worker_holds_to_its_types(tmp_path: Path, check: Any) -> None:
    text = (theme_folder() / "templates" / "sw.js").read_text(encoding="utf-8")
    (tmp_path / "worker").mkdir()
    (tmp_path / "worker" / "sw.js").write_text(re.sub(r"{{ \w+\|tojson }}", '"1"', text), encoding="utf-8")
    assert check(tmp_path / "worker", WORKERS) == []


def test_the_script_of_the_preview_holds_to_its_types(tmp_path: Path, check: Any) -> None:
    (tmp_path / "preview").mkdir()
    shutil.copy(theme_folder() / "preview" / "preview.js", tmp_path / "preview")
    assert check(tmp_path / "preview") == []


def test_what_the_build_ships_is_as_the_types_say(scripts: Path, check: Any, site_dir: Path) -> None:
    models = [one.read_text(encoding="utf-8") for one in sorted((site_dir / "data").rglob("*.js"))]
    shipped = [
        text.removeprefix("droplight.take(").removesuffix(");\n") for text in models if '"playbook"' in text[:30]
    ]
    assert len(shipped) > 10
    typed = [f"const m{k}: [string, string, Model] = [{text}];\n" for k, text in enumerate(shipped)]
    used = f"export {{ {', '.join(f'm{k}' for k in range(len(shipped)))} }};\n"
    (scripts / "shipped.ts").write_text(
        "".join(['import type { Model } from "./types.js";\n', *typed, used]), encoding="utf-8"
    )
    assert check(scripts) == []


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("export const wrong = nowhere;", "Cannot find name 'nowhere'"),
        ("export function wrong(a) { return a; }", "implicitly has an 'any' type"),
        ("/** @type {number} */\nexport const wrong = 'text';", "not assignable to type 'number'"),
        ('import { say } from "./site/words.js";\nexport const wrong = say(1);', "not assignable to parameter"),
        (
            '/** @import { Job } from "./made/jobschema.js" */\n/** @param {Job} a */\nexport const b = (a) => a.none;',
            "none",
        ),
    ],
)
def test_the_checker_finds_what_is_wrong(scripts: Path, check: Any, code: str, says: str) -> None:
    (scripts / "wrong.js").write_text(code, encoding="utf-8")
    (said,) = check(scripts)
    assert said.startswith("scripts/wrong.js(")
    assert says in said
