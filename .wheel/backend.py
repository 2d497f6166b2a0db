"""Builds the wheel (PEP 517): that of setuptools, in which the package is called `droplight`.

In the repository the code is the folder `builder`, so that nobody takes the tool for a library of playbooks. As a
package of that name it would stand in the way of whatever else is called so.
"""

from pathlib import Path

from rename import rename_package
from setuptools import build_meta
from setuptools.build_meta import (
    build_sdist,
    get_requires_for_build_sdist,
    get_requires_for_build_wheel,
)

__all__ = ["build_sdist", "build_wheel", "get_requires_for_build_sdist", "get_requires_for_build_wheel"]


def build_wheel(
    wheel_directory: str, config_settings: dict[str, str] | None = None, metadata_directory: str | None = None
) -> str:
    """The file name of the wheel."""
    name = build_meta.build_wheel(wheel_directory, config_settings, None)
    rename_package(Path(wheel_directory, name))
    return name
