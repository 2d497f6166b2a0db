"""The same work as a build by the bare libraries alone: ``bare.py LIBRARY OUT PAGES BYTES WORKERS``.

Every playbook is parsed by PyYAML's C loader, its texts are rendered by markdown-it-py, its graph is laid out once and
its part of the pages is rendered by Jinja2 and written. ``PAGES`` and ``BYTES`` are those of the real site. No number
is reckoned; nothing is checked or linked.
"""

import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any, Final

import graphviz
import yaml
from jinja2 import DictLoader, Environment, Template
from markdown_it import MarkdownIt

PROGRAM: Final = Path(sys.executable).with_name("graphviz-pure")
FRAME: Final = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{{ title }}</title></head>
<body><h1>{{ title }}</h1>{% block content %}{% endblock %}</body></html>
"""
PAGE: Final = """{% extends "frame" %}{% block content %}
{% for text in texts %}<section>{{ text|safe }}</section>{% endfor %}{{ chart|safe }}
<table>{% for row in rows %}
<tr class="row {{ row.kind }}"><th><a href="{{ row.name }}.html">{{ row.title }}</a></th>
<td>{% if row.money %}{{ row.money }}{% else %}-{% endif %}</td><td>{{ row.minutes }}</td></tr>{% endfor %}
</table>{% endblock %}
"""
ROW: Final = {"kind": "step", "name": "step-1", "title": "Measure & note the reading", "money": "EUR 20", "minutes": 15}


def main(library: Path, out: Path, pages: int, size: int, workers: int) -> None:
    files = sorted(path for path in library.glob("*/*.yaml") if path.parent.name != "catalogue")
    out.mkdir()
    work = partial(build, out=out, pages=round(pages / len(files)), page_size=size // pages)
    shares = [files[first::workers] for first in range(workers)]
    if workers == 1:
        work(files)
    else:
        with ProcessPoolExecutor(workers) as pool:
            list(pool.map(work, shares))


def build(files: list[Path], out: Path, pages: int, page_size: int) -> None:
    """So many pages of about so many bytes for each playbook."""
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table")
    template = Environment(autoescape=True, loader=DictLoader({"frame": FRAME, "page": PAGE})).get_template("page")
    row_size = len(_page(template, "", [], "", 101)) - len(_page(template, "", [], "", 1))
    for file in files:
        playbook = yaml.load(file.read_bytes(), yaml.CSafeLoader)
        texts = [markdown.render(work["do"]) for work in work_of(playbook).values() if "do" in work]
        chart = lay_out(playbook)
        own = len("".join(texts)) + len(chart)
        for number in range(pages):
            first = number == 0
            rows = max(0, page_size - own // pages) * 100 // row_size
            page = _page(template, playbook["title"], texts if first else [], chart if first else "", rows)
            (out / f"{file.stem}-{number}.html").write_text(page, encoding="utf-8")


def _page(template: Template, title: str, texts: list[str], chart: str, rows: int) -> str:
    return template.render(title=title, texts=texts, chart=chart, rows=[ROW] * rows)


def work_of(playbook: dict[str, Any]) -> dict[str, Any]:
    return {**playbook["steps"], **playbook["endings"]}


def lay_out(playbook: dict[str, Any]) -> str:
    """The SVG of a graph with as many boxes, diamonds and arrows as the real flowchart."""
    dot = graphviz.Digraph()
    dot.attr("node", shape="box", fontname="Helvetica", fontsize="12")
    dot.edge("start", playbook["start"])
    for name, work in work_of(playbook).items():
        dot.node(name, work["title"] + "\n20 EUR, 15 min")
        if "results" in work:
            dot.node(f"{name}?", "", shape="diamond", width="0.3", height="0.3")
            dot.edge(name, f"{name}?")
        for result in work.get("results", {}).values():
            target = result["next"]
            dot.edge(f"{name}?", target if isinstance(target, str) else target["playbook"], result["expect"])
    command = [str(PROGRAM), "-Kdot", "-Tsvg"]
    return subprocess.run(command, input=dot.source.encode(), capture_output=True, check=True).stdout.decode()


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), *map(int, sys.argv[3:6]))
