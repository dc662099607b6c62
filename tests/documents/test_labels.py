"""Cut list and labels hold every piece of the job once, and are safe to open."""

from __future__ import annotations

import csv
import io
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.documents.cut_list import MOCK_UP, SPARES, cut_list
from estimator.documents.labels import FORMULA_SIGNS, cut_list_csv, harmless, labels_html
from estimator.drawing.stickers import GRIDS
from estimator.project.lengths import looks_like_date, parse_length
from estimator.project.templates import read_template
from tests.documents.reading import elements, foreign, parse, text_of, words
from tests.documents.samples import plain, with_texts
from tests.workbook.estimates import estimated, with_counts

TEMPLATES = ("merrowby-lodge", "one-wall", "one-wall-metric", "three-hundred-rooms")


@pytest.mark.parametrize("template", TEMPLATES)
def test_all_bundles_together_are_the_pieces_needed(template: str) -> None:
    estimate = plain(template)
    listed: Counter[str] = Counter()
    for line in cut_list(estimate):
        listed[line.key] += line.count
    pieces = estimate.values["pieces"]
    needed = dict(zip(pieces["key"], pieces["needed"].astype(int), strict=True))
    assert listed == Counter({key: count for key, count in needed.items() if count})


def test_counts_follow_the_workbook() -> None:
    estimate = with_counts(plain("merrowby-lodge"), {("king", "F1"): 20})
    listed = sum(line.count for line in cut_list(estimate))
    assert listed == estimate.values["pieces"]["needed"].sum()
    assert any(line.bundle.floor == "F1" and line.bundle.rooms == 20 for line in cut_list(estimate))


def test_bundles_are_by_floor_and_room_type_with_mock_ups_first_and_spares_last() -> None:
    bundles = list(dict.fromkeys(line.bundle for line in cut_list(plain("merrowby-lodge"))))
    floors = [bundle.floor for bundle in bundles]
    assert list(dict.fromkeys(floors)) == [MOCK_UP, "F3", "F2", "F1", SPARES]
    assert [(b.room_type, b.rooms) for b in bundles if b.floor == "F2"] == [
        ("King room", 9), ("Double room", 8), ("Twin room with visible alarms", 3),
        ("King room, accessible", 1),
    ]  # fmt: skip
    assert (bundles[-1].room_type, bundles[-1].rooms) == ("", 0)


@pytest.mark.parametrize("template", ["merrowby-lodge", "one-wall-metric"])
def test_the_csv_reads_back(template: str) -> None:
    estimate = plain(template)
    unit = estimate.project.project.unit
    header, *rows = csv.reader(io.StringIO(cut_list_csv(estimate), newline=""))
    lines = cut_list(estimate)
    assert header[7] == f"Length ({unit})"
    assert len(rows) == len(lines)
    for row, line in zip(rows, lines, strict=True):
        assert [row[0], row[1], row[3], row[4], row[5]] == [
            line.bundle.floor, line.bundle.room_type, line.what_for, line.key, line.name
        ]  # fmt: skip
        assert parse_length(row[7], unit) == line.length
        assert parse_length(row[8], unit) == line.width
        assert int(row[9]) == line.count


@pytest.mark.parametrize("sign", FORMULA_SIGNS)
def test_no_cell_of_the_csv_is_a_formula(sign: str) -> None:
    text = f'{sign}HYPERLINK("x")'
    project = with_texts(read_template("one-wall"), lambda table, field: text)
    _, *rows = csv.reader(io.StringIO(cut_list_csv(estimated(project)), newline=""))
    assert not any(cell.startswith(FORMULA_SIGNS) for row in rows for cell in row)
    assert sum(f"'{text}" in row for row in rows) == len(rows)


@given(st.text())
def test_harmless_text_is_unchanged_behind_its_apostrophe(text: str) -> None:
    made = harmless(text)
    assert not made.startswith(FORMULA_SIGNS)
    assert made in (text, f"'{text}")


def test_a_fraction_does_not_turn_into_a_day() -> None:
    project = read_template("one-wall")
    thin = project.parts[0].model_copy(update={"width": parse_length("3/4", "in")})
    changed = project.model_copy(update={"parts": (thin, *project.parts[1:])})
    _, *rows = csv.reader(io.StringIO(cut_list_csv(estimated(changed)), newline=""))
    (row,) = [row for row in rows if row[4] == thin.key]
    assert row[8] == "0 3/4"
    assert not looks_like_date(row[8])


@pytest.mark.parametrize("template", ["merrowby-lodge", "one-wall-metric"])
def test_there_is_a_label_for_every_piece_and_a_heading_for_every_bundle(template: str) -> None:
    estimate = plain(template)
    page, lines = labels_html(estimate), cut_list(estimate)
    labels = [each for each in elements(parse(page), "div") if "label" in each.get("class", "")]
    headings = [each for each in labels if "heading" in each.get("class", "")]
    assert len(labels) - len(headings) == sum(line.count for line in lines)
    assert len(headings) == len({line.bundle for line in lines})
    grid = GRIDS[estimate.project.project.paper]
    sheets = [each for each in elements(parse(page), "div") if each.get("class") == "sheet"]
    assert len(sheets) == -(-len(labels) // (grid.across * grid.down))


def test_a_label_says_what_it_is_and_where_it_goes() -> None:
    page = labels_html(plain("one-wall"))
    labels = [words(each) for each in elements(parse(page), "div") if each.get("class") == "label"]
    first = labels[0]
    for expected in ("Board", "20 × 8 in", "Small shelf", "H1 · One wall at home", "1/3"):
        assert expected in first


def test_hostile_text_stays_text_on_labels() -> None:
    hostile = "\"><script>alert('{{ 1 }}')</script>"
    project = with_texts(read_template("one-wall"), lambda table, field: hostile)
    page = labels_html(estimated(project))
    assert foreign(page) == []
    assert text_of(page).count(hostile) > 20
