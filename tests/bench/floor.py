"""The floor of a build: ``floor.py LIBRARY`` does what no site of playbooks can do without, and nothing else.

Every playbook is parsed by PyYAML's C loader, its texts are rendered by markdown-it-py and its graph is laid out once,
in one process. No number is reckoned, no page is made; so the floor does not grow with the pages of the product.
"""

import sys
from pathlib import Path

import yaml
from bare import lay_out, work_of
from markdown_it import MarkdownIt


def main(library: Path) -> None:
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table")
    for file in sorted(path for path in library.glob("*/*.yaml") if path.parent.name != "catalogue"):
        playbook = yaml.load(file.read_bytes(), yaml.CSafeLoader)
        for work in work_of(playbook).values():
            markdown.render(work.get("do", ""))
        lay_out(playbook)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
