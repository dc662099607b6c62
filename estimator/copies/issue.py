"""Issuing: the next revision of a workbook, its copies for others, and the register of them.

A revision's letter moves on with each issue, so that what a reader holds can be told from what
came before. The workbook at hand is only read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from estimator.copies.answers import Bid
from estimator.copies.bids import award, bids_book
from estimator.copies.purchaser import purchaser_book
from estimator.copies.register import Copy, with_issued
from estimator.copies.requests import asked_of, request_book
from estimator.copies.shop import shop_book
from estimator.copies.shop_pages import shop_html
from estimator.copies.site import site_html
from estimator.documents.cut_plan import cut_plan_html
from estimator.documents.figures import rows
from estimator.documents.labels import labels_html
from estimator.documents.pdf import has_pdf, pdf_of
from estimator.documents.quote import quote_html
from estimator.estimate import Estimate
from estimator.files import free_names, refuse_existing, whole_file
from estimator.price_band.band import find_band
from estimator.problems import Problem, raise_if_any
from estimator.progress import Progress, in_silence
from estimator.project.frames import frames
from estimator.project.records import Project
from estimator.quantities.findings import FAIL
from estimator.revise.left_behind import LeftBehind
from estimator.revise.revise import next_path, next_project, write_next
from estimator.workbook.read import read_book
from estimator.workbook.stored import read_stored

Planner = Callable[[Project], Estimate]
Tell = Callable[[Sequence[LeftBehind]], None]


def issue(
    book: Path,
    readers: Sequence[str],
    today: date,
    plan: Planner,
    progress: Progress = in_silence,
    tell: Tell = lambda left: None,
) -> list[Path]:
    """Write the next revision and its copies beside the workbook; returns all that was written.

    readers: of READERS. plan: from a project to its estimate. tell: called with what a person
    added to the workbook and the next revision does not have. Raises ProblemsFound, and writes
    nothing, when the workbook cannot be read, a check fails that a purchaser's price rests on, or a
    file stands where one is to be written.
    """
    raise_if_any(
        Problem("--to", each, " or ".join(READERS), "Name one of those.")
        for each in readers
        if each not in READERS
    )
    stored = read_stored(book)
    read = read_book(stored)
    project = next_project(read.project, today)
    target = next_path(book, project.project.revision)
    refuse_existing([target])
    planned = plan(project)
    if PURCHASER in readers:
        raise_if_any(failing_checks(planned))
    copies: list[Copy] = []
    for reader in dict.fromkeys(readers):
        progress(f"writing for {reader}", 0.0)
        copies.extend(READERS[reader](planned, target.stem, progress))
    refuse_existing([target, *(target.with_name(copy.name) for copy in copies)])
    tell(write_next(stored, read, _registered(planned, copies, today), target).left_behind)
    return [target, *(_write(copy, target.parent) for copy in copies)]


def award_bids(
    book: Path,
    awarded: Sequence[Bid],
    today: date,
    plan: Planner,
    tell: Tell = lambda left: None,
) -> Path:
    """Write the next revision with the awarded prices in its rates; returns its path.

    tell: as for `issue`.
    """
    stored = read_stored(book)
    read = read_book(stored)
    project = next_project(award(read.project, awarded), today)
    target = next_path(book, project.project.revision)
    refuse_existing([target])
    tell(write_next(stored, read, plan(project), target).left_behind)
    return target


def write_bids(book: Path, bids: Sequence[Bid], awarded: Sequence[Bid], project: Project) -> Path:
    """Write the comparison of bids beside the workbook, under the first free name."""
    content = bids_book(bids, awarded, project.project)
    path = next(
        each for each in free_names(book.with_name(f"{book.stem} bids.xlsx")) if not each.exists()
    )
    return _write(Copy("office", path.name, content), path.parent)


def failing_checks(estimate: Estimate) -> Iterator[Problem]:
    """The checks on the sheet Checks that fail: no price may leave the office then."""
    for check in rows(estimate.values["checks"]):
        if check["state"] == FAIL:
            place = f"Checks, {check['label']}"
            found = ": ".join(filter(None, (f"{check['found']:g}", check["which"])))
            yield Problem(place, found, "0 before a price leaves", check["fix"])


def _registered(planned: Estimate, copies: Sequence[Copy], today: date) -> Estimate:
    project = with_issued(planned.project, copies, today)
    register = frames(project)["issued"]
    return replace(
        planned,
        project=project,
        typed={**planned.typed, "issued": register},
        values={**planned.values, "issued": register},
    )


def _write(copy: Copy, folder: Path) -> Path:
    path = folder.joinpath(copy.name)
    with whole_file(path) as temporary:
        temporary.write_bytes(copy.content)
    return path


# --- Who gets what -------------------------------------------------------------------------------


def _for_purchaser(estimate: Estimate, stem: str, progress: Progress) -> list[Copy]:
    quote = quote_html(estimate, leaves=True)
    copies = [
        Copy(PURCHASER, f"{stem} for purchaser.xlsx",
             purchaser_book(estimate, find_band(estimate, progress))),
        Copy(PURCHASER, f"{stem} quote.html", quote.encode()),
    ]  # fmt: skip
    if has_pdf():
        copies.append(Copy(PURCHASER, f"{stem} quote.pdf", pdf_of(quote)))
    return copies


def _for_suppliers(estimate: Estimate, stem: str, _: Progress) -> list[Copy]:
    return [
        Copy("suppliers", f"{stem} price request {kind}.xlsx", request_book(estimate, kind, lines))
        for kind, lines in asked_of(estimate).items()
    ]


def _for_shop(estimate: Estimate, stem: str, _: Progress) -> list[Copy]:
    pages = {
        "shop lists": shop_html(estimate),
        "cut plan": cut_plan_html(estimate),
        "labels": labels_html(estimate),
    }
    return [
        Copy("shop", f"{stem} for shop.xlsx", shop_book(estimate)),
        *(Copy("shop", f"{stem} {name}.html", page.encode()) for name, page in pages.items()),
    ]


def _for_site(estimate: Estimate, stem: str, _: Progress) -> list[Copy]:
    return [Copy("site", f"{stem} for site.html", site_html(estimate).encode())]


PURCHASER = "purchaser"
READERS: Mapping[str, Callable[[Estimate, str, Progress], list[Copy]]] = {
    PURCHASER: _for_purchaser,
    "suppliers": _for_suppliers,
    "shop": _for_shop,
    "site": _for_site,
}
