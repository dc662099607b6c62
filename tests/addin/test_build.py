"""The file of the add-in, and the commands that make it."""

from __future__ import annotations

import ast
import json
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from estimator import __version__
from estimator.addin.build import EXTENSION, build_extension
from estimator.addin.commands import app

OLDEST_PYTHON = (3, 8)
"""Of LibreOffice 7.4 where it brings its own (from memory: its release notes name 3.8)."""


def parts(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_the_same_bytes_each_time(tmp_path: Path) -> None:
    for name in ("one.oxt", "other.oxt"):
        build_extension(tmp_path / name)
    assert (tmp_path / "one.oxt").read_bytes() == (tmp_path / "other.oxt").read_bytes()


def test_holds_all_that_its_lists_name(tmp_path: Path) -> None:
    build_extension(tmp_path / "it.oxt", ["python", "-m", "engine"])
    found = parts(tmp_path / "it.oxt")
    path = "{http://openoffice.org/2001/manifest}full-path"
    listed = [each.attrib[path] for each in ElementTree.fromstring(found["META-INF/manifest.xml"])]
    components = ElementTree.fromstring(found["fit_out.components"])
    listed += [each.attrib["uri"] for each in components if "uri" in each.attrib]
    assert len(listed) == 8
    assert set(listed) <= set(found)
    assert f'<version value="{__version__}"/>' in found["description.xml"].decode()
    assert json.loads(found["pythonpath/fit_out/written.json"]) == {
        "version": __version__,
        "engine": ["python", "-m", "engine"],
    }


def test_every_xml_part_can_be_read(tmp_path: Path) -> None:
    build_extension(tmp_path / "it.oxt")
    read = [
        ElementTree.fromstring(content)
        for name, content in parts(tmp_path / "it.oxt").items()
        if name.endswith((".xml", ".xcu", ".components"))
    ]
    assert len(read) == 7


def test_its_own_code_is_for_the_oldest_python_and_needs_nothing_installed() -> None:
    given = {"uno", "unohelper", "com", "estimator", "fit_out", ""}
    standard = {"base64", "contextlib", "fractions", "json", "math", "os", "pathlib", "shutil",
                "subprocess", "tempfile", "threading", "traceback", "typing"}  # fmt: skip
    files = sorted(EXTENSION.rglob("*.py"))
    assert len(files) >= 9
    for file in files:
        tree = ast.parse(file.read_text(encoding="utf-8"), feature_version=OLDEST_PYTHON)
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                assert {each.name.split(".")[0] for each in node.names} <= given | standard, file
            elif isinstance(node, ast.ImportFrom) and not node.level:
                assert (node.module or "").split(".")[0] in given | standard, file


def test_the_command_builds_and_never_writes_over(tmp_path: Path) -> None:
    path = tmp_path / "it.oxt"
    done = CliRunner().invoke(app, ["build", str(path)])
    assert done.output == (
        f"Wrote {path}. In LibreOffice: Tools, Extension Manager, Add; then start it again.\n"
    )
    before = path.read_bytes()
    with pytest.raises(FileExistsError):
        build_extension(path)
    assert path.read_bytes() == before
