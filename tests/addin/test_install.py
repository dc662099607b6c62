"""The add-in taken by LibreOffice's own installer, into folders of the test's own."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest
from typer.testing import CliRunner

from estimator import __version__
from estimator.addin import install
from estimator.addin.commands import app
from estimator.addin.install import install_extension
from estimator.problems import ProblemsFound


@pytest.fixture
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither the person's profile nor the machine's extensions: LibreOffice takes its bootstrap
    variables from the environment, too."""
    monkeypatch.setenv("HOME", str(tmp_path))
    for name, folder in (
        ("UNO_SHARED_PACKAGES", "all"),
        ("UNO_SHARED_PACKAGES_CACHE", "all/cache"),
    ):
        (tmp_path / folder).mkdir()
        monkeypatch.setenv(name, (tmp_path / folder).as_uri())


@pytest.mark.usefixtures("folders")
def test_installs_and_installs_again(tmp_path: Path) -> None:
    for _ in range(2):
        done = CliRunner().invoke(app, ["install"], catch_exceptions=False)
        assert done.exit_code == 0
        assert done.output.splitlines()[-1] == "Installed. Start LibreOffice again."
    for_whom = ["--shared"] if os.geteuid() == 0 else []
    listed = subprocess.run(
        ["unopkg", "list", *for_whom], capture_output=True, text=True, timeout=120, check=True
    ).stdout
    assert listed.count("Identifier: estimator.fit-out") == 1
    assert f"Version: {__version__}" in listed
    (written,) = tmp_path.glob("**/written.json")
    assert "estimator.addin.engine" in written.read_text()


def test_says_when_there_is_no_installer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    monkeypatch.setattr(install, "PLACES", ())
    with pytest.raises(ProblemsFound) as found:
        install_extension()
    assert str(found.value) == (
        "unopkg: found “no such program”; expected LibreOffice's installer. Install LibreOffice, "
        "or add the file of `estimator addin build` by hand."
    )
