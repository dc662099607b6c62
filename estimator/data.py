"""Where the data that comes with the tool stands: templates and starting rates."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

PACKAGE = Path(__file__).parent


def data_folder(name: Literal["templates", "rates"]) -> Path:
    """The folder of that name: inside an installed package, beside the package in a checkout.

    The installed folder is not called data, because a folder of that name beside this module
    could be taken for it. Raises FileNotFoundError when the installation lacks the folder.
    """
    for folder in (PACKAGE / "data_files" / name, PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the installation lacks its folder {name}; install the tool again")
