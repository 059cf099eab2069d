"""What pyproject.toml cannot say: a wheel carries the rulesets and schemas, which stand beside the package, inside it.

`checker/reading/shipped.py` looks for them there. An editable install leaves them where they are.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from setuptools import setup
from setuptools.command.build_py import build_py

SHIPPED = ("rulesets", "schemas")


class BuildWithShipped(build_py):
    """Build the package, then put the shipped files into it."""

    def run(self) -> None:
        super().run()
        for name in () if self.editable_mode else SHIPPED:
            place = Path(self.build_lib) / "checker" / "_shipped" / name
            shutil.rmtree(place, ignore_errors=True)  # what an earlier build left and is no longer shipped
            shutil.copytree(name, place, ignore=shutil.ignore_patterns(".*"))

    def get_outputs(self, include_bytecode: bool = True) -> list[str]:
        place = Path(self.build_lib) / "checker" / "_shipped"
        files = sorted(str(path) for path in place.rglob("*") if path.is_file())
        return [*super().get_outputs(include_bytecode), *files]


setup(cmdclass={"build_py": BuildWithShipped})
