"""What a person added comes along into the next revision, once; what cannot is told by name."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.styles.colors import Color
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.cell_range import CellRange

from estimator.copies.issue import issue
from estimator.problems import ProblemsFound
from estimator.project.records import Project
from estimator.revise.left_behind import LeftBehind
from estimator.workbook.as_written import read_as_written
from estimator.workbook.read import read_workbook
from estimator.workbook.stored import read_stored
from estimator.workbook.write import write_workbook
from tests.engines import calc
from tests.revise.next_revision import TODAY, edited, next_of, read, told
from tests.workbook.estimates import estimated
from tests.workbook.hostile.packages import in_sheet, parts, replaced
from tests.workbook.projects import template


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "Wall.xlsx"
    write_workbook(estimated(template("one-wall")), path)
    return path


def own_sheet(own: Workbook) -> None:
    sheet = own.create_sheet("My sums")
    sheet["A1"], sheet["A2"], sheet["A3"] = "Sums", 3.25, "=A2*4"
    sheet["B2"], sheet["B3"], sheet["B4"] = True, "=price_total/10", "=B3+1"
    sheet["A1"].font = Font(bold=True, italic=True, size=16, color="FF8C1D18")
    sheet["A2"].number_format = '0.00 "m"'
    sheet["A2"].fill = PatternFill("solid", fgColor=Color(theme=4, tint=0.4))
    sheet["A2"].alignment = Alignment(horizontal="center", vertical="top", wrap_text=True)
    sheet["A5"].border = Border(bottom=Side("double", color="FF0000FF"))
    sheet["A1"].comment = Comment("by phone", "me")
    sheet.merge_cells("A1:C1")
    sheet.column_dimensions["A"].width = 33
    sheet.column_dimensions["D"].hidden = True
    sheet.row_dimensions[2].height = 39.75
    own.defined_names["my_figure"] = DefinedName("my_figure", attr_text="'My sums'!$A$2")


class TestOwnSheets:
    def test_cells_formulas_and_looks_come_along(self, book: Path) -> None:
        old = edited(book, own_sheet)
        made = next_of(old)
        assert told(made) == set()
        was, now = openpyxl.load_workbook(old)["My sums"], read(made)["My sums"]
        assert [[cell.value for cell in row] for row in now.iter_rows(max_row=4)] == [
            [cell.value for cell in row] for row in was.iter_rows(max_row=4)
        ]
        assert (now["A1"].font.b, now["A1"].font.i, now["A1"].font.sz) == (True, True, 16)
        assert now["A1"].font.color.rgb == "FF8C1D18"
        assert now["A2"].number_format == '0.00 "m"'
        assert now["A2"].alignment.horizontal == "center"
        assert now["A2"].alignment.wrap_text
        assert now["A5"].border.bottom.style == "double"
        assert now["A1"].comment.text == "by phone"
        assert [str(each) for each in now.merged_cells.ranges] == ["A1:C1"]

        # 4F81BD of lightness L at L(1 - 0.4) + 0.4 (ECMA-376, part 1, 18.8.19); programs list it
        # as this accent, 40 % lighter (from memory)
        assert now["A2"].fill.fgColor.rgb == "FF95B3D7"
        assert now.column_dimensions["A"].width == pytest.approx(33, abs=0.1)
        assert now.column_dimensions["D"].hidden
        assert now.row_dimensions[2].height == 39.75

    def test_own_names_come_along_and_others_are_told(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own_sheet(own)
            own.defined_names["twice"] = DefinedName("twice", attr_text="2*price_total")

        made = next_of(edited(book, edit))
        assert read(made).defined_names["my_figure"].attr_text == "'My sums'!$A$2"
        assert told(made) == {"workbook: a name for 2*price_total “twice”"}

    def test_a_hidden_sheet_stays_hidden(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own_sheet(own)
            own["My sums"].sheet_state = "hidden"

        assert read(next_of(edited(book, edit)))["My sums"].sheet_state == "hidden"

    @pytest.mark.slow
    def test_formulas_that_follow_the_price_are_calculated_when_it_is_opened(
        self, book: Path, tmp_path: Path
    ) -> None:
        """Their old values are left out, so that no figure of the old price is shown."""
        made = next_of(edited(book, own_sheet))
        shown = openpyxl.load_workbook(made.path, data_only=True)["My sums"]
        assert (shown["B3"].value, shown["B4"].value) == (None, None)
        opened = calc.convert([made.path], tmp_path / "calc", calc.XLSX, calc.NEVER_RECALCULATE)
        calculated = openpyxl.load_workbook(opened[made.path], data_only=True)
        total = float(made.comparison.walk.after)
        assert calculated["My sums"]["B3"].value == pytest.approx(total / 10)
        assert calculated["My sums"]["B4"].value == pytest.approx(total / 10 + 1)


class TestOnTheToolsSheets:
    def test_words_notes_and_widths_come_along(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own["Counts"]["Z5"], own["Counts"]["Z6"] = "ask the owner", "=B5*10"
            own["Scope"]["B5"].comment = Comment("agreed", "me")
            own["Counts"]["A3"].comment = Comment("my own words on a header", "me")
            own["Modules"].column_dimensions["C"].width = 50

        made = next_of(edited(book, edit))
        now = read(made)
        assert told(made) == set()
        assert (now["Counts"]["Z5"].value, now["Counts"]["Z6"].value) == ("ask the owner", "=B5*10")
        assert now["Scope"]["B5"].comment.text == "agreed"
        assert now["Counts"]["A3"].comment.text == "my own words on a header"
        assert now["Modules"].column_dimensions["C"].width == pytest.approx(50, abs=0.1)

    def test_words_stay_beside_their_row_when_rows_move(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            sheet = own["Parts"]
            sheet["CZ6"], sheet["CZ7"] = "second part", "=B7"
            sheet["CZ7"].comment = Comment("of the third", "me")

        def without_first(project: Project) -> Project:
            return project.model_copy(update={"parts": project.parts[1:]})

        made = next_of(edited(book, edit), without_first)
        now = read(made)["Parts"]
        assert (now["CZ5"].value, now["CZ6"].value) == ("second part", "=B6")
        assert now["CZ6"].comment.text == "of the third"

    def test_words_beside_a_row_that_is_gone_are_told(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own["Parts"]["CZ5"] = "on the first part"
            own["Parts"]["A5"].comment = Comment("on the first part too", "me")

        def without_first(project: Project) -> Project:
            return project.model_copy(update={"parts": project.parts[1:]})

        gone = "what it stood beside is no longer there"
        assert told(next_of(edited(book, edit), without_first)) == {
            f"Parts!CZ5: a cell; {gone} “on the first part”",
            f"Parts!A5: a note; {gone} “on the first part too”",
        }

    def test_cells_that_were_coloured_are_told(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own["Counts"]["B5"].fill = PatternFill("solid", fgColor="FFFFCC00")
            own["Modules"]["B6"].font = Font(bold=True)

        kind = "cells coloured or marked by hand"
        assert told(next_of(edited(book, edit))) == {
            f"Counts: {kind} “B5”",
            f"Modules: {kind} “B6”",
        }

    def test_words_over_the_tools_own_are_told(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own["Counts"]["A1"] = "My title"
            own["Price"]["B5"], own["Parts"]["Z5"] = 17, "=D5*2"

        found = told(next_of(edited(book, edit)))
        assert "Counts!A1: words over the tool's own “Room counts” “My title”" in found
        formulas = found - {"Counts!A1: words over the tool's own “Room counts” “My title”"}
        assert [each.partition(" of ")[0] for each in sorted(formulas)] == [
            "Parts!Z5: typed over the formula",
            "Price!B5: typed over the formula",
        ]
        assert [each.partition("“")[2] for each in sorted(formulas)] == ["=D5*2”", "17”"]


class TestFormulas:
    """Kept where all they refer to is there; otherwise their value stands, and that is told."""

    def test_what_is_not_kept(self, book: Path) -> None:
        reasons = {
            "=[2]Other!A1+1": "a formula that refers to another workbook",
            "='file:///tmp/x.ods'#$A.B1": "a formula that refers to another workbook",
            '=HYPERLINK("http://x.example","x")': "a formula with HYPERLINK, which reaches out",
            '=WEBSERVICE("http://x.example")': "a formula with WEBSERVICE, which reaches out",
            "=cmd|'/c calc'!A1": "a formula that cannot be read",
            "=cmd|calc!A1": "a formula that would start another program",
            "=no_such*2": "a formula with no_such, which is not in the new workbook",
            "=Nowhere!A1": "a formula with Nowhere!A1, whose cells are not all there",
            "=SUM(Counts!B:B)": "a formula with Counts!B:B, which is not in the new workbook",
        }

        def edit(own: Workbook) -> None:
            sheet = own.create_sheet("Mine")
            for row, formula in enumerate(reasons, start=1):
                sheet.cell(row, 1).value = formula

        made = next_of(edited(book, edit))
        assert {cell.data_type for (cell,) in read(made)["Mine"].iter_rows(max_col=1)} <= {"n", "s"}
        assert told(made) == {
            f"Mine!A{row}: {why}; its value stands “{formula}”"
            for row, (formula, why) in enumerate(reasons.items(), start=1)
        }

    def test_a_range_is_kept_when_all_of_it_moved_alike(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            sheet = own.create_sheet("Mine")
            sheet["A1"], sheet["A2"] = "=SUM(Parts!$F$6:$F$8)", "=SUM(Parts!F4:F8)"

        def without_first(project: Project) -> Project:
            return project.model_copy(update={"parts": project.parts[1:]})

        made = next_of(edited(book, edit), without_first)
        now = read(made)["Mine"]
        assert now["A1"].value == "=SUM(Parts!$F$5:$F$7)"
        assert now["A2"].data_type != "f"

    def test_words_never_become_a_formula(self, book: Path) -> None:
        hostile = ("=1+1", "+1", "@SUM(1)", "-2+3", "=cmd|'/c calc'!A0", "{=1}", "http://x.example")

        def edit(own: Workbook) -> None:
            for sheet in (own.create_sheet("Mine"), own["Counts"]):
                for column, words in enumerate(hostile, start=30):
                    sheet.cell(5, column).value = words
                    sheet.cell(5, column).data_type = "s"

        now = read(next_of(edited(book, edit)))
        for name in ("Mine", "Counts"):
            cells = [now[name].cell(5, column) for column in range(30, 30 + len(hostile))]
            assert tuple(each.value for each in cells) == hostile
            assert {each.data_type for each in cells} == {"s"}


class TestLeftBehind:
    def test_what_cannot_come_along_is_told_and_stands_on_the_sheet(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own_sheet(own)
            sheet: Any = own["My sums"]
            chart = BarChart()
            chart.add_data(Reference(sheet, min_col=1, min_row=2, max_row=3))
            sheet.add_chart(chart, "F3")
            rule: Any = CellIsRule(  # type: ignore[no-untyped-call]
                operator="greaterThan", formula=["2"], font=Font(bold=True)
            )
            sheet.conditional_formatting.add("A1:A4", rule)
            sheet["A5"].hyperlink = "http://x.example"
            sheet.auto_filter.ref = "A1:B4"

        made = next_of(edited(book, edit))
        assert told(made) == {
            "My sums: a chart “Chart 1”",
            "My sums: conditional formats “A1:A4”",
            "My sums: links “A5”",
            "My sums: a filter “A1:B4”",
        } | {each for each in told(made) if "_xlnm" in each}
        rows = [row[:3] for row in read(made)["Changes"].iter_rows(values_only=True)]
        for each in made.left_behind:
            assert (each.place, each.kind, each.words) in rows

    def test_macros_and_links_of_the_workbook_are_told(self, book: Path, tmp_path: Path) -> None:
        parts({}, {"xl/vbaProject.bin": b"x"})(book, tmp_path / "Macro.xlsx")
        assert told(next_of(tmp_path / "Macro.xlsx")) == {"workbook: a part “xl/vbaProject.bin”"}

    def test_a_sheet_named_as_one_of_ours_in_other_letters(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own["Floors"].title = "Storeys"
            own.create_sheet("FLOORS")["A1"] = 1
            for name in own.defined_names.values():
                name.attr_text = name.attr_text.replace("'Floors'", "'Storeys'")

            own["Scope"].sheet_state = "hidden"

        assert told(next_of(edited(book, edit))) == {
            "FLOORS: a sheet whose name is taken or cannot be written “FLOORS”",
            "Floors: another name for the sheet “Storeys”",
            "Scope: a sheet that was hidden “Scope”",
        }

    def test_a_far_away_cell_and_a_vast_merge_cost_no_time(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            sheet = own.create_sheet("Mine")
            sheet["XFD1048576"] = "far"
            own["Counts"]["ZZ30000"] = "far too"

        made = next_of(edited(book, edit))
        beyond = "cells beyond row 20,000 or column 500"
        assert told(made) == {
            f"Mine: {beyond} “XFD1048576 and on”",
            f"Counts: {beyond} “ZZ30000 and on”",
        }


def test_what_was_added_comes_along_when_a_revision_is_issued(book: Path) -> None:
    def edit(own: Workbook) -> None:
        own_sheet(own)
        own["Counts"]["A1"] = "My title"

    left: list[LeftBehind] = []
    written = issue(edited(book, edit), ["site"], TODAY, estimated, tell=left.extend)
    assert openpyxl.load_workbook(written[0])["My sums"]["A2"].value == 3.25
    assert [each.words for each in left] == ["My title"]


class TestDamagedParts:
    """What the reading of inputs passes over is read for what comes along: faults become words."""

    @pytest.mark.parametrize(
        ("old", "new"),
        [
            ('<col min="1"', '<col min="one"'),
            ('<row r="5"[^>]*>', '<row r="5" ht="tall" customHeight="1">'),
        ],
    )
    def test_odd_numbers(self, book: Path, tmp_path: Path, old: str, new: str) -> None:
        in_sheet("Scope", old, new)(book, tmp_path / "Odd.xlsx")
        told_or_refused(tmp_path / "Odd.xlsx")

    def test_a_note_on_no_cell(self, book: Path, tmp_path: Path) -> None:
        replaced("xl/comments1.xml", 'ref="[A-Z]+[0-9]+"', 'ref="nowhere"')(
            book, tmp_path / "Odd.xlsx"
        )
        told_or_refused(tmp_path / "Odd.xlsx")

    def test_merged_areas_that_overlap(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            sheet = own.create_sheet("Mine")
            for area in ("A1:C3", "B2:D4", "F1:F1", "A1:XFD1048576"):
                sheet.merged_cells.ranges.add(CellRange(area))

        found = told(next_of(edited(book, edit)))
        assert all("merged cells “they stand apart now”" in each for each in found)
        assert len(found) in (2, 3)


def told_or_refused(path: Path) -> None:
    """Whatever comes of it, no fault of the program's own."""
    before = sorted(path.parent.iterdir())
    try:
        made = next_of(path)
    except ProblemsFound as found:
        refused = [each.place for each in found.problems]
        assert refused == [path.name]
        assert sorted(path.parent.iterdir()) == before
    else:
        assert made.path.exists()


class TestAgain:
    def test_nothing_is_doubled_by_a_further_revision(self, book: Path) -> None:
        def edit(own: Workbook) -> None:
            own_sheet(own)
            own["Counts"]["Z5"] = "ask the owner"
            own["Changes"]["N12"] = "beside the page"
            own["Scope"]["B5"].comment = Comment("agreed", "me")
            own["Modules"].column_dimensions["C"].width = 50

        first = next_of(edited(book, edit))
        second = next_of(first.path)
        assert told(first) == told(second) == set()
        contents = [additions_of(each.path) for each in (first, second)]
        assert contents[0] == contents[1]
        assert read_workbook(first.path).project.counts == read_workbook(second.path).project.counts

    @pytest.mark.slow
    def test_what_calc_saved_comes_along_alike(self, book: Path, tmp_path: Path) -> None:
        def edit(own: Workbook) -> None:
            own_sheet(own)
            own["Counts"]["Z5"] = "ask the owner"
            own["Scope"]["B5"].comment = Comment("agreed", "me")

        first = next_of(edited(book, edit))
        saved = calc.recalculate([first.path], tmp_path / "calc")[first.path]
        assert read_as_written(read_stored(saved)) is not None
        second = next_of(saved)
        assert told(second) == set()
        now = read(second)
        assert now.sheetnames.count("My sums") == 1
        assert now["My sums"]["B3"].value == "=price_total/10"
        assert now["Counts"]["Z5"].value == "ask the owner"
        assert now["Scope"]["B5"].comment.text == "agreed"
        assert now["Modules"].column_dimensions["C"].width == pytest.approx(
            read(first)["Modules"].column_dimensions["C"].width, abs=0.2
        )


def additions_of(path: Path) -> dict[str, object]:
    """The cells, notes and widths of a workbook, the sheet Changes' own page left out."""
    book = openpyxl.load_workbook(path)
    found: dict[str, object] = {}
    for sheet in book.worksheets:
        for cell in (cell for row in sheet.iter_rows() for cell in row):
            dated = sheet.title in ("Project", "Welcome", "As written") or (
                sheet.title == "Changes" and (cell.column or 0) <= 12
            )
            if not dated and (cell.value is not None or cell.comment):
                words = cell.comment.text if cell.comment else ""
                found[f"{sheet.title}!{cell.coordinate}"] = (cell.value, words, cell.number_format)
        for letter, width in sheet.column_dimensions.items():
            found[f"{sheet.title} {letter}"] = round(width.width, 2)
    return found


WORDS = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\ufffe\uffff"), min_size=1
)
VALUES = st.one_of(
    WORDS,
    st.booleans(),
    st.integers(-(10**9), 10**9),
    st.floats(allow_nan=False, allow_infinity=False, width=32),
)


@pytest.mark.slow
@settings(
    max_examples=5,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=list(HealthCheck),
    deadline=None,
)
@given(
    st.dictionaries(
        st.tuples(st.integers(1, 40), st.integers(1, 20)), VALUES, min_size=1, max_size=30
    )
)
def test_whatever_stands_on_an_own_sheet_stands_there_again(
    tmp_path_factory: pytest.TempPathFactory, values: dict[tuple[int, int], Any]
) -> None:
    folder = tmp_path_factory.mktemp("any")
    path = folder / "Wall.xlsx"
    write_workbook(estimated(template("one-wall")), path)

    def edit(own: Workbook) -> None:
        sheet = own.create_sheet("Mine")
        for (row, column), value in values.items():
            cell = sheet.cell(row, column)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"

    old = edited(path, edit)
    was = openpyxl.load_workbook(old)["Mine"]
    made = next_of(old)
    now = read(made)["Mine"]
    assert told(made) == set()
    for row, column in values:
        assert now.cell(row, column).value == was.cell(row, column).value
        assert now.cell(row, column).data_type == was.cell(row, column).data_type
