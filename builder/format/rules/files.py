"""Rules about which files there are."""

from typing import Final

from builder.format.rules.rule import files, rule
from builder.format.worked import PATH, SLUG

FILES: Final = (
    rule(
        "no-settings",
        "A library has a file of settings.",
        PATH,
        f"library.yaml\n{PATH}",
        file="",
    ),
    files("no-area", "A folder with playbooks is an area that the settings name.", f"electric/{SLUG}.yaml", PATH),
    files(
        "stray-file",
        "A YAML file is a playbook in the folder of an area, or one of the four files of the catalogue.",
        f"{PATH}\nnotes.yaml",
        f"{PATH}\nnotes.txt",
    ),
    files(
        "bad-slug",
        "The name of a playbook's file is its address: small letters, digits and hyphens.",
        "electrics/Washer_Sprays_Nothing.yaml",
        PATH,
    ),
    files(
        "slug-twice",
        "A slug stands once in the whole library.",
        f"{PATH}\nstarting/{SLUG}.yaml",
        f"{PATH}\nstarting/washer-drains-battery.yaml",
    ),
    rule(
        "was-taken",
        "An old slug leads to one playbook, and is the slug of none.",
        "was: [wipers-smear]",
        "was: [washer-dead]",
    ),
    files("empty-file", "A file says something.", f"{PATH}\nelectrics/horn-is-mute.yaml (empty)", PATH),
    files("not-a-file", "What has the name of a playbook is a file.", f"{PATH}/", PATH),
    files("broken-link", "A symbolic link leads to a file.", f"{PATH} -> gone.yaml", PATH),
    files("link-outside", "A symbolic link stays within the library.", f"{PATH} -> ../../elsewhere.yaml", PATH),
    rule(
        "too-big",
        "A file has at most a million bytes.",
        "do: |\n  Pull the lever and listen, pull the lever and listen.",
        "do: |\n  Pull the lever and listen, pull the lever and listen.",
        ("steps", "listen"),
        times=20_000,
    ),
    rule(
        "not-utf8",
        "A file is UTF-8 text.",
        "conditions: [below 0 °C]",
        "conditions: [below 0 °C]",
        ("symptom",),
        encoding="latin-1",
    ),
    rule(
        "control-character",
        "A file holds no control characters; they do not show, and one cannot judge what one does not see.",
        "title: Washer sprays\a nothing",
        "title: Washer sprays nothing",
    ),
    rule(
        "bidi-control",
        "A file holds no characters that turn the direction of writing; they make text look other than it is.",
        "title: Washer sprays \u202egnihton",
        "title: Washer sprays nothing",
    ),
    rule(
        "invisible-character",
        "A file holds no characters that nobody sees; they take words apart, so that no search finds them.",
        "title: Wa\u200bsher sprays nothing",
        "title: Washer sprays nothing",
    ),
    rule(
        "odd-space",
        "Before a line and behind a key stands a plain space.",
        "title:\u00a0Washer sprays nothing",
        "title: Washer sprays nothing",
    ),
    rule("tab", "A file is indented with spaces.", "title:\tWasher sprays nothing", "title: Washer sprays nothing"),
)
