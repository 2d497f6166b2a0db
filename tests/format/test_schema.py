"""The schema for editors: valid by the standard, true to the records, and true to what the checks call malformed."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
import yaml
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from builder.cli import main
from builder.format import worked
from builder.format.schema import FILES, schema_of, schema_text
from builder.read.findings import Finding
from builder.read.nodes import parse_nodes
from builder.read.records import Cause, Ending, Playbook, Prove, Result, Step, Symptom
from builder.read.shape import read_record
from builder.read.source import Source

ROOT: Final = Path(__file__).resolve().parents[2]
CATALOGUE: Final = sorted((ROOT / "playbooks/catalogue").glob("*.yaml"))
PLAYBOOKS: Final = sorted(set((ROOT / "playbooks").glob("*/*.yaml")) - set(CATALOGUE))
SCHEMA: Final = schema_of("playbook")
VALIDATOR: Final = Draft202012Validator(SCHEMA)


def typed(text: str) -> Any:
    """A text as an editor sees it: YAML 1.2 with numbers and booleans."""
    return YAML(typ="safe").load(text)


def read(text: str) -> tuple[Playbook | None, list[Finding]]:
    """A text as this library reads it: the record, and the findings of shape and notation."""
    source = Source("playbook.yaml", text)
    node, findings = parse_nodes(source)
    assert node is not None
    playbook, found = read_record(Playbook, node, source, {"slug": "slug", "area": "area"})
    return playbook, [*findings, *found]


def fields(schema: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every field of a schema with its path, those of definitions and of values that are mappings included."""
    if isinstance(schema, dict):
        for name, field in schema.get("properties", {}).items():
            yield f"{path}/{name}", field
        for key, inner in schema.items():
            if key not in ("if", "then", "else"):
                yield from fields(inner, f"{path}/{key}")


def resolved(field: dict[str, Any], file: str = "playbook") -> dict[str, Any]:
    target = field.get("$ref", "").removeprefix("#/$defs/")
    return {**schema_of(file)["$defs"][target], **field} if target else field


# --- The schema by itself


@pytest.mark.parametrize("file", FILES)
def test_schema_is_valid_by_the_metaschema_of_its_dialect(file: str) -> None:
    assert schema_of(file)["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema_of(file))


@pytest.mark.parametrize("file", sorted(set(FILES) - {"hazards"}))
def test_every_field_has_title_description_and_an_example_that_it_takes(file: str) -> None:
    found = list(fields(schema_of(file)))
    assert found
    for path, field in found:
        whole = resolved(field, file)
        assert whole["title"].strip(), path
        assert whole["description"].endswith("."), path
        validator = Draft202012Validator({**whole, "$defs": {**SCHEMA["$defs"], **schema_of(file).get("$defs", {})}})
        for example in whole["examples"]:
            assert validator.is_valid(example), (path, example)


@pytest.mark.parametrize(
    ("record", "schema"),
    [(Playbook, SCHEMA), *((kind, SCHEMA["$defs"][kind.__name__]) for kind in (Symptom, Cause, Step, Result))]
    + [(kind, SCHEMA["$defs"][kind.__name__]) for kind in (Ending, Prove)],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_schema_has_the_keys_of_the_records_and_no_other(record: Any, schema: dict[str, Any]) -> None:
    of_file = {name: field for name, field in record.model_fields.items() if name not in ("slug", "area")}
    assert list(schema["properties"]) == list(of_file)
    without = WITHOUT_CHECK if record in (Step, Result) else ()
    required = [name for name, field in of_file.items() if field.is_required() and name not in without]
    assert schema.get("required", []) == required
    assert schema["additionalProperties"] is False


WITHOUT_CHECK: Final = {"title", "expect"}
"""What a step and its results need only where no common check says it; see the test of that."""


def test_a_step_needs_no_words_of_its_own_where_a_common_check_has_them() -> None:
    step = {"results": {"low": {"chance": "5%", "next": "on"}}}
    book = {"format": 1, "title": "T", "symptom": {"summary": "S"}, "start": "one"}
    assert not VALIDATOR.is_valid({**book, "steps": {"one": step}})
    assert VALIDATOR.is_valid({**book, "steps": {"one": {**step, "check": "battery"}}})


# --- What it takes


@pytest.mark.parametrize("path", PLAYBOOKS, ids=lambda path: path.stem)
def test_takes_every_playbook_of_the_demo_library(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert list(VALIDATOR.iter_errors(typed(text))) == []
    if " on:" not in text:  # which is true to YAML 1.1
        assert list(VALIDATOR.iter_errors(yaml.safe_load(text))) == []


@pytest.mark.parametrize("path", [ROOT / "playbooks/library.yaml", *CATALOGUE], ids=lambda path: path.stem)
def test_takes_the_settings_and_the_catalogue_of_the_demo_library(path: Path) -> None:
    schema = schema_of("settings" if path.stem == "library" else path.stem)
    assert list(Draft202012Validator(schema).iter_errors(typed(path.read_text(encoding="utf-8")))) == []


def test_takes_the_demo_library_by_the_command_that_editors_run(tmp_path: Path) -> None:
    schema = tmp_path / "playbook.json"
    schema.write_text(schema_text(), encoding="utf-8")
    command = [sys.executable, "-m", "check_jsonschema", "--schemafile", str(schema), *map(str, PLAYBOOKS)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_modeline_of_the_demo_playbooks_is_the_address_of_the_schema_on_the_site() -> None:
    site_url = typed((ROOT / "playbooks/library.yaml").read_text(encoding="utf-8"))["site_url"]
    for path in PLAYBOOKS:
        first = path.read_text(encoding="utf-8").splitlines()[0]
        assert first == f"# yaml-language-server: $schema={site_url}schema/playbook.json"


BASE: Final = """
format: 1
title: T
symptom: {summary: S}
causes: {fan: {name: Fan, share: 60%}}
start: look
steps:
  look:
    title: Look
    results:
      bad: {expect: Bad, chance: rest, next: mend}
endings:
  mend: {title: Mend, settles: [fan]}
"""


def changed(where: str, value: str) -> str:
    """The base playbook with a value, as YAML, at a place such as ``steps/look/time``; ``-`` takes the key out."""
    playbook = yaml.load(BASE, Loader=yaml.BaseLoader)  # noqa: S506 - a loader that gives text alone
    *parents, last = where.split("/")
    node = playbook
    for name in parents:
        node = node[name]
    node.pop(last, None)
    text = yaml.safe_dump(playbook, sort_keys=False)
    if value == "-":
        return text
    marker = "here-comes-the-value"
    node[last] = marker
    return yaml.safe_dump(playbook, sort_keys=False, width=10_000).replace(marker, value)


NATURAL: Final = [
    ("format", "1"),
    ("format", '"1"'),
    ("title", "1.6"),
    ("title", "true"),
    ("vehicles", "[Tamarin, 500, 1.6]"),
    ("was", "[old-name, 2024]"),
    ("symptom/codes", "[P0128, U1A2F]"),
    ("causes", "{}"),
    ("causes/fan/share", "12.5 %"),
    ("causes/fan/share", "100%"),
    ("causes/fan/share", "0%"),
    ("steps/look/time", "0"),
    ("steps/look/time", "25 min"),
    ("steps/look/time", "1.5 h"),
    ("steps/look/time", "1 h 30 min"),
    ("steps/look/time", "1h30min"),
    ("steps/look/time", "10-20 min"),
    ("steps/look/time", "45 min - 1 h 30 min"),
    ("steps/look/time", "PT1H30M"),
    ("steps/look/time", "PT1H-PT2H"),
    ("steps/look/time", "P1D"),
    ("steps/look/time", "{low: 5 min, likely: 10 min, high: 20 min}"),
    ("steps/look/time", "{low: 0, likely: 10 min, high: 20 min}"),
    ("steps/look/cost", "0"),
    ("steps/look/cost", "12"),
    ("steps/look/cost", "12.5"),
    ("steps/look/cost", "12.50 - 20"),
    ("steps/look/cost", '"12"'),
    ("steps/look/cost", "{low: 1, likely: 2.5, high: 4}"),
    ("steps/look/who", "shop"),
    ("steps/look/parts", "[fuse, fuse]"),
    ("steps/look/parts", "{fuse: 2}"),
    ("steps/look/no_hazards", "{lifting: The jack stays in the boot.}"),
    ("steps/look/results/bad/chance", "70%"),
    ("steps/look/results/bad/chance", "{fan: 95%, otherwise: 3%}"),
    ("steps/look/results/bad/next", "{playbook: other}"),
    ("steps/look/results/bad/next", "2"),
    ("endings", "{}"),
    ("endings/mend/settles", "all"),
    ("endings/mend/settles", "[]"),
    ("endings/mend/prove", "{trial: a drive, shows: 60%}"),
]


@pytest.mark.parametrize(("where", "value"), NATURAL)
def test_takes_what_authors_naturally_write(where: str, value: str) -> None:
    text = changed(where, value)
    assert list(VALIDATOR.iter_errors(typed(text))) == []
    assert read(text)[1] == []


MALFORMED: Final = [
    ("format", "2"),
    ("format", "-"),
    ("title", "-"),
    ("title", '" "'),
    ("title", "[a]"),
    ("vehicles", "Tamarin"),
    ("was", "old"),
    ("was", "[Old Name]"),
    ("owner", "me"),
    ("slug", "x"),
    ("area", "x"),
    ("symptom", "It is cold"),
    ("symptom", "{}"),
    ("causes", "[fan]"),
    ("causes/Fan", "{name: Fan}"),
    ("causes/unlisted", "{name: The rest}"),
    ("causes/fan/share", "70"),
    ("causes/fan/share", "101%"),
    ("causes/fan/share", "-5%"),
    ("causes/fan/name", "-"),
    ("start", "Look here"),
    ("steps", "{}"),
    ("steps/look/title", "-"),
    ("steps/look/results", "{}"),
    ("steps/look/results", "-"),
    ("steps/look/time", "25"),
    ("steps/look/time", "25 minutes"),
    ("steps/look/time", "1:30"),
    ("steps/look/time", "-5 min"),
    ("steps/look/time", "PT"),
    ("steps/look/time", "P"),
    ("steps/look/time", "PT5"),
    ("steps/look/time", "10-1 h 30 min"),
    ("steps/look/time", "0-1 h 30 min"),
    ("steps/look/time", "5-0"),
    ("steps/look/time", "10–20 min"),
    ("steps/look/time", "{low: 5 min, high: 20 min}"),
    ("steps/look/time", "{low: 5 min, likely: 6 min, high: 20 min, mean: 7 min}"),
    ("steps/look/time", "{low: 5, likely: 6, high: 20}"),
    ("steps/look/cost", "-1"),
    ("steps/look/cost", "10 EUR"),
    ("steps/look/cost", "1,50"),
    ("steps/look/cost", "10-"),
    ("steps/look/cost", "[10, 20]"),
    ("steps/look/cost", "true"),
    ("steps/look/cost", "{low: 1, likely: 2}"),
    ("steps/look/who", "me"),
    ("steps/look/tools", "meter"),
    ("steps/look/tools", "{meter: 1}"),
    ("steps/look/parts", "{fuse: 0}"),
    ("steps/look/parts", "{fuse: 1.5}"),
    ("steps/look/parts", "{fuse: 1000}"),
    ("steps/look/parts", "fuse"),
    ("steps/look/no_hazards", "[lifting]"),
    ("steps/look/settles", "[fan]"),
    ("steps/look/results/bad/expect", "-"),
    ("steps/look/results/bad/next", "[mend]"),
    ("steps/look/results/bad/next", "{ending: mend}"),
    ("steps/look/results/bad/next", "{playbook: other, name: mend}"),
    ("steps/look/results/bad/chance", "70"),
    ("steps/look/results/bad/chance", "0.7"),
    ("steps/look/results/bad/chance", "the rest"),
    ("steps/look/results/bad/chance", "{}"),
    ("steps/look/results/bad/chance", "{fan: most}"),
    ("steps/look/results/bad/chance", "[70%]"),
    ("endings/mend/settles", "fan"),
    ("endings/mend/results", "{}"),
    ("endings/mend/prove", "{trial: a drive}"),
    ("endings/mend/prove", "{trial: a drive, shows: often}"),
]


@pytest.mark.parametrize(("where", "value"), MALFORMED)
def test_refuses_what_the_checks_call_malformed(where: str, value: str) -> None:
    text = changed(where, value)
    assert {finding.rule for finding in read(text)[1]} & {"notation", "shape", "missing-key", "unknown-key"}
    assert not VALIDATOR.is_valid(typed(text))


def test_base_of_the_tables_is_sound() -> None:
    assert VALIDATOR.is_valid(typed(BASE))
    assert read(BASE)[1] == []
    assert VALIDATOR.is_valid(typed(worked.PLAYBOOK))


@pytest.mark.parametrize("value", [None, 3.5, [], "text"])
def test_refuses_a_file_that_is_no_mapping(value: Any) -> None:
    assert not VALIDATOR.is_valid(value)


# --- What it takes, the records take


def values(schema: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Values that a part of the schema takes: of each type that it allows, or of its list of choices."""
    if "$ref" in schema:
        return values(SCHEMA["$defs"][schema["$ref"].removeprefix("#/$defs/")])
    if "const" in schema:
        return st.just(schema["const"])
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    types = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    return st.one_of([of_type(kind, schema) for kind in types])


def of_type(kind: str, schema: dict[str, Any]) -> st.SearchStrategy[Any]:
    if kind == "string":
        return texts(schema["pattern"])
    if kind == "boolean":
        return st.booleans()
    if kind in ("integer", "number"):
        least = schema.get("minimum", 0)
        most = schema.get("maximum", schema.get("exclusiveMaximum", 10_000) - 1)
        whole = st.integers(least, most)
        # Authors write no more than a few decimals; a float without end is not what they see.
        hundredths = st.integers(least * 100, most * 100).map(lambda figure: figure / 100)
        return whole if kind == "integer" else st.one_of(whole, hundredths)
    if kind == "array":
        return st.lists(values(schema["items"]), max_size=2)
    assert kind == "object"
    return mappings(schema)


def texts(pattern: str) -> st.SearchStrategy[str]:
    if pattern == r"\S":
        return st.text(st.characters(categories=("L", "N", "P", "S", "Zs"), max_codepoint=0x17F), min_size=1).filter(
            str.strip
        )
    return st.from_regex(pattern.removeprefix("^").removesuffix("$"), fullmatch=True)


def mappings(schema: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    named = {name: values(field) for name, field in schema.get("properties", {}).items()}
    required = {name: named.pop(name) for name in schema.get("required", ())}
    fixed = st.fixed_dictionaries(required, optional=named)
    if schema["additionalProperties"] is False:
        return fixed
    keys = texts(schema["propertyNames"]["pattern"])
    more = st.dictionaries(keys, values(schema["additionalProperties"]), min_size=1, max_size=2)
    return st.builds(lambda one, other: {**one, **other}, more, fixed)


def with_a_way(playbook: dict[str, Any]) -> dict[str, Any]:
    """The playbook with `order: best`, or with a start and what comes next after every result; words for each step."""
    best = "order" in playbook
    for step in playbook["steps"].values():
        step.setdefault("title", "do it")
        for result in step["results"].values():
            result.setdefault("expect", "it")
    for result in (one for step in playbook["steps"].values() for one in step["results"].values()):
        result.pop("next", None) if best else result.setdefault("next", "on")
    playbook.pop("start", None) if best else playbook.setdefault("start", "first")
    return playbook


@given(values(SCHEMA).map(with_a_way))
def test_records_take_whatever_the_schema_takes(playbook: dict[str, Any]) -> None:
    assert list(VALIDATOR.iter_errors(playbook)) == []
    text = yaml.safe_dump(playbook, sort_keys=False, allow_unicode=False, width=10_000)
    found = read(text)[1]
    # Whether one number is above another no pattern can say.
    order = ("runs downwards", "out of order")
    assert [finding for finding in found if not any(words in finding.message for words in order)] == []


# --- The command


def test_command_prints_the_schema_of_a_playbook() -> None:
    done = CliRunner().invoke(main, ["schema"])
    assert done.exit_code == 0
    assert json.loads(done.stdout) == SCHEMA


@pytest.mark.parametrize("file", FILES)
def test_command_writes_the_schema_of_any_file(file: str, tmp_path: Path) -> None:
    out = tmp_path / "deep" / "schema.json"
    done = CliRunner().invoke(main, ["schema", "--of", file, "--out", str(out)])
    assert (done.exit_code, done.output) == (0, "")
    assert out.read_text(encoding="utf-8") == schema_text(file)
    assert [path.name for path in out.parent.iterdir()] == ["schema.json"]


def test_schema_that_cannot_be_written_leaves_the_old_one_and_is_the_machines_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "schema.json"
    out.write_text("old", encoding="utf-8")

    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device", str(target))

    monkeypatch.setattr(Path, "replace", full)
    done = CliRunner().invoke(main, ["schema", "--out", str(out)])
    assert done.exit_code == 3
    assert "No space left on device" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["schema.json"]
    assert out.read_text(encoding="utf-8") == "old"
