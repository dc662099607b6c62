"""The commands: parse, call one function, print. Known faults become lines, never a traceback.

Exit codes: 0 OK, 1 a check fails, 2 something could not be read or written.
"""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from estimator import __version__
from estimator.addin.commands import app as addin
from estimator.addin.commands import watch
from estimator.files import free_names, refuse_existing
from estimator.problems import ProblemsFound, raise_if_any
from estimator.process import collect_seldom

if TYPE_CHECKING:  # the commands import what they need, so that a short one answers at once
    from estimator.estimate import Estimate
    from estimator.project.records import Project
    from estimator.revise.compare import Comparison
    from estimator.revise.left_behind import LeftBehind
    from estimator.workbook.read import ReadBook

DEMO = "merrowby-lodge"
CANNOT, FAILING = 2, 1
EXPLAINED = 3
"""Quantities that are explained at once; of more only the names are told."""

app = typer.Typer(
    help="From one proved room of wall-hung furniture to a priced property.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    add_completion=False,
)
app.add_typer(addin, name="addin")
app.command()(watch)
out, err = Console(soft_wrap=True), Console(stderr=True, soft_wrap=True)

Book = Annotated[Path, typer.Argument(metavar="BOOK.xlsx", help="The workbook.")]
TemplateName = Annotated[
    str, typer.Option("--template", "-t", help="A name from `estimator templates`, or a file.")
]


@app.command()
def templates() -> None:
    """List the templates a workbook can be started from."""
    from estimator.project.templates import list_templates

    table = Table("Name", "What it is", "About", box=None, header_style="bold")
    for each in list_templates():
        table.add_row(escape(each.name), escape(each.title), escape(each.about))
    out.print(table)


@app.command()
def start(book: Book, template: TemplateName = DEMO) -> None:
    """Start a workbook from a template: plan the sheets, write every sheet live."""
    from estimator.project.templates import read_template
    from estimator.workbook.write import write_workbook

    refuse_existing([book])
    project = read_template(template)
    facts = project.project.model_copy(update={"issued": date.today()})
    estimate = _plan(project.model_copy(update={"project": facts}))
    write_workbook(estimate, book)
    out.print(f"Wrote {escape(str(book))}. Type room counts on its sheet Counts.")


@app.command()
def demo(
    folder: Annotated[Path, typer.Option(help="Where to put the files.")] = Path("estimator-demo"),
) -> None:
    """Make the demo: a workbook, its quote, its cut plan and labels; print a summary."""
    from estimator.documents.files import write_documents
    from estimator.project.templates import read_template
    from estimator.summary import summary_lines
    from estimator.workbook.write import write_workbook

    folder.mkdir(parents=True, exist_ok=True)
    book = next(each for each in free_names(folder / f"{DEMO}.xlsx") if not each.exists())
    estimate = _plan(read_template(DEMO))
    write_workbook(estimate, book)
    files = [book, *write_documents(estimate, book)]
    out.print("[bold]The demo: an invented lodge, invented prices.[/bold]")
    _print_rows(summary_lines(estimate))
    out.print("\nFiles:")
    for each in files:
        out.print(f"  {escape(str(each))}")


@app.command()
def check(book: Book) -> None:
    """Run the workbook's checks for its counts as they stand. Exit 1 if one fails."""
    from estimator.estimate import calculate_book

    read = _read(book)
    rows = calculate_book(read.project, read.typed).values["checks"]
    table = Table("State", "What is checked", "Found", "Which", "How to fix it", box=None)
    columns = rows[["state", "label", "found", "which", "fix"]]
    for state, label, found, which, fix in columns.itertuples(index=False):
        shown = (escape(which), escape(fix)) if state != "OK" else ("", "")
        table.add_row(state, escape(label), f"{found:g}", *shown)
    out.print(table)
    if rows["failing"].any():
        raise typer.Exit(FAILING)


@app.command()
def quote(
    book: Book,
    pdf: Annotated[bool, typer.Option("--pdf", help="As PDF too (needs the extra pdf).")] = False,
) -> None:
    """Write the quote beside the workbook, from its counts as they stand."""
    from estimator.documents.files import write_quote
    from estimator.documents.pdf import require_pdf, write_pdf
    from estimator.estimate import calculate_book

    if pdf:
        require_pdf()
    read = _read(book)
    written = [write_quote(calculate_book(read.project, read.typed), book)]
    if pdf:
        written.append(write_pdf(written[0]))
    _print_written(written)


@app.command()
def cuts(book: Book) -> None:
    """Plan again and write cut plan, cut list and labels beside the workbook."""
    from estimator.documents.files import write_cuts

    for each in write_cuts(_plan(_read(book).project), book):
        out.print(f"Wrote {escape(str(each))}.")


@app.command()
def revise(
    book: Book,
    target: Annotated[
        Path | None, typer.Option("--out", "-o", metavar="OUT.xlsx", help="Where to write it.")
    ] = None,
) -> None:
    """Plan again and write the next revision beside the workbook, which stays untouched."""
    from estimator.revise.revise import revise as next_revision

    with _progress() as show, _stop_on_interrupt() as stop:
        made = next_revision(book, target, today=date.today(), progress=show, stop=stop)
    for remark in made.remarks:
        err.print(escape(str(remark)))
    _print_walk(made.comparison)
    _tell_left(made.left_behind)
    out.print(f"\nWrote {escape(str(made.path))}. {escape(str(book))} is as it was.")


@app.command()
def compare(
    old: Annotated[Path, typer.Argument(metavar="OLD.xlsx", help="The earlier workbook.")],
    new: Annotated[Path, typer.Argument(metavar="NEW.xlsx", help="The later workbook.")],
    as_json: Annotated[bool, typer.Option("--json", help="Plain data for other programs.")] = False,
) -> None:
    """Say what changed between two workbooks, and what each group of changes does to the price."""
    from estimator.revise.compare import compare as compared

    found = compared(old, new)
    if as_json:
        out.print_json(data=found.as_json())
        return
    for each in found.changes:
        out.print(f"  {escape(str(each))}")
    _print_walk(found)


@app.command()
def issue(
    book: Book,
    to: Annotated[
        list[str],
        typer.Option("--to", help="purchaser, suppliers, shop or site; may be repeated."),
    ],
) -> None:
    """Plan again; write the next revision, its copies for others, and its register of them."""
    from estimator.copies.issue import issue as issue_copies

    with _progress() as show:
        plan = partial(_planned, show=show)
        written = issue_copies(book, to, date.today(), plan, show, _tell_left)
    _print_written(written)


@app.command()
def receive(
    book: Book,
    requests: Annotated[
        list[Path], typer.Argument(metavar="REQUEST.xlsx...", help="Filled price requests.")
    ],
    award: Annotated[
        list[str] | None,
        typer.Option(
            "--award",
            help="lowest, or ITEM=SUPPLIER; may be repeated. Writes the next revision.",
        ),
    ] = None,
) -> None:
    """Compare suppliers' answers in a workbook; with --award, write a revision at their prices."""
    from estimator.copies.answers import receive as receive_answers
    from estimator.copies.bids import choose_awards, compare, wanted_awards
    from estimator.copies.issue import award_bids, write_bids
    from estimator.estimate import calculate_book

    wanted = wanted_awards(award or [])
    read = _read(book)
    received = receive_answers(calculate_book(read.project, read.typed), requests)
    if not received.bids:
        raise_if_any(received.problems)
    for problem in received.problems:
        err.print(f"[bold]{escape(problem.place)}[/bold]: {escape(problem.told())}")
    taken = choose_awards(received.bids, wanted) if award else []
    _print_bids(compare(received.bids, taken).to_dict("records"))
    if taken:
        _print_written([award_bids(book, taken, date.today(), _plan, _tell_left)])
    if received.bids:
        _print_written([write_bids(book, received.bids, taken, read.project)])


@app.command()
def explain(
    quantity: Annotated[str, typer.Argument(help="Its name, its label, or a part of either.")],
) -> None:
    """Say what a quantity is: definition, unit, formula, what feeds it."""
    from estimator.explain import explain as explained
    from estimator.quantities import define_model

    model, _ = define_model("in", ("F1",))
    found = explained(model, quantity)
    if found[EXPLAINED:]:
        out.print("Several quantities match; name one of them:")
        for each in found:
            out.print(f"  {each.name}  {escape(each.title)}")
        return
    for each in found:
        out.print(f"[bold]{escape(each.title)}[/bold]  ({each.name}, sheet {escape(each.sheet)})")
        _print_rows(
            [("It is", f"{each.role}, in {each.unit}"), ("Meaning", each.note),
             ("Definition", each.in_words), ("Formula", each.formula),
             ("Fed by", ", ".join(each.inputs)), ("Feeds", ", ".join(each.feeds)),
             ("Defined in", each.defined_at)]
        )  # fmt: skip


def _read(book: Path) -> ReadBook:
    """The workbook; what was read in another way than it stands is told."""
    from estimator.workbook.read import read_workbook

    read = read_workbook(book)
    for remark in read.remarks:
        err.print(escape(str(remark)))
    return read


def _plan(project: Project) -> Estimate:
    """The estimate, with progress."""
    with _progress() as show:
        return _planned(project, show)


def _planned(project: Project, show: Callable[[str, float], None]) -> Estimate:
    """The estimate; Ctrl-C keeps the best plan so far."""
    from estimator.estimate import estimate

    with _stop_on_interrupt() as stop:
        made = estimate(project, show, stop)
    if any(each.plan.stopped_early for each in made.plans):
        err.print("Stopped early: the best cut plan so far is kept; plan again for a better one.")
    return made


@contextmanager
def _progress() -> Iterator[Callable[[str, float], None]]:
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=err, transient=True) as bar:
        task = bar.add_task("planning the sheets", total=1.0)

        def show(words: str, done: float) -> None:
            bar.update(task, description=words, completed=done)

        yield show


@contextmanager
def _stop_on_interrupt() -> Iterator[Callable[[], bool]]:
    asked: list[bool] = []

    def ask(*_: object) -> None:
        if asked:
            raise KeyboardInterrupt
        asked.append(True)
        err.print("Keeping the best plan so far, with its live count. Ctrl-C again to give up.")

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield lambda: bool(asked)
    finally:
        signal.signal(signal.SIGINT, before)


def _print_walk(found: Comparison) -> None:
    table = Table("Price walk", found.currency, box=None, pad_edge=False)
    table.columns[1].justify = "right"
    table.add_row(escape(found.old), f"{found.walk.before:,.2f}")
    for step in found.walk.steps:
        table.add_row(f"  {escape(step.group)}", f"{step.amount:+,.2f}")
    table.add_row(escape(found.new), f"{found.walk.after:,.2f}", style="bold")
    out.print(table)


def _tell_left(left: Sequence[LeftBehind]) -> None:
    if left:
        err.print("\nNot carried over (the sheet Changes says so too); copy what you want to keep:")
        for each in left:
            err.print(f"  {escape(str(each))}")


def _print_written(paths: Sequence[Path]) -> None:
    for each in paths:
        out.print(f"Wrote {escape(str(each))}.")


def _print_bids(bids: Sequence[dict[Hashable, Any]]) -> None:
    table = Table(
        "Item", "Supplier", "Price of one", "Pack", "Packs", "Amount", "Weeks", "", box=None
    )
    for bid in bids:
        marks = " ".join(word for word in (bid["lowest"], bid["awarded"]) if word)
        table.add_row(
            escape(bid["item"]), escape(bid["supplier"]), f"{bid['each']:,.4f}",
            f"{bid['pack']:,.0f}", f"{bid['packs']:,.0f}", f"{bid['amount']:,.2f}",
            f"{bid['lead']:,.0f}", marks,
        )  # fmt: skip
    out.print(table if bids else "No bid that can be compared.")


def _print_rows(rows: Sequence[tuple[str, str]]) -> None:
    table = Table(box=None, show_header=False, pad_edge=False)
    table.add_column(style="bold", no_wrap=True)
    table.add_column(overflow="fold")
    for left, right in rows:
        if right:
            table.add_row(escape(left), escape(right))
    out.print(table)


@app.callback(invoke_without_command=True)
def _version(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        out.print(__version__)
        raise typer.Exit


def main() -> None:
    """Run the command line; faults that a person can cause are told as lines."""
    collect_seldom()
    try:
        app()
    except ProblemsFound as found:
        for problem in found.problems:
            err.print(f"[bold]{escape(problem.place)}[/bold]: {escape(problem.told())}")
        err.print(f"{found.counted}; nothing was written.")
        sys.exit(CANNOT)
    except OSError as error:
        err.print(
            escape(f"{error.filename or 'A file'}: {error.strerror or error}. Nothing was written.")
        )
        sys.exit(CANNOT)
    except KeyboardInterrupt:
        err.print("Given up; nothing was written.")
        sys.exit(CANNOT)
