"""The site's sheets and the shop's workbook: complete, to scale, and without a price."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from estimator.copies.kits import SITE, kit_of
from estimator.copies.shop import shop_book
from estimator.copies.site import site_html
from estimator.copies.wall_drawing import MARGIN, WIDE, Hung, Wall, screw_heights, wall_svg
from estimator.documents.cut_list import cut_list
from estimator.estimate import Estimate
from estimator.project.templates import read_template
from tests.copies.estimates import level
from tests.copies.parts import hidden_in, parts_of
from tests.copies.planted import MARK, planted
from tests.copies.test_purchaser import assert_no_numbers
from tests.engines import browser, calc, cells

DEMO = "merrowby-lodge"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def estimate() -> Estimate:
    return level(read_template(DEMO))


def a_wall(**changes: object) -> Wall:
    of: dict[str, object] = {
        "title": "Wall", "length": Fraction(132), "bottom": Fraction(60), "rail": Fraction(11, 2),
        "spacing": Fraction(16), "end": Fraction(2), "screws_per_stud": 3, "upper": 2,
        "screw_line": Fraction(4), "joints": (Fraction(82),), "unit": "in",
        "hung": (Hung(1, "Shelf", Fraction(24), Fraction(6), Fraction(1)),
                 Hung(2, "<Cabinet & co>", Fraction(20), Fraction(16), Fraction(0))),
    }  # fmt: skip
    return Wall(**(of | changes))  # type: ignore[arg-type]


class TestWall:
    def test_a_joint_is_on_a_stud_and_studs_are_one_spacing_apart(self) -> None:
        studs = a_wall().studs()
        assert Fraction(82) in studs
        assert {after - before for before, after in pairwise(studs)} == {16}
        assert studs[0] >= 2
        assert studs[-1] <= 130

    def test_modules_hang_in_order_without_touching(self) -> None:
        wall = a_wall()
        places = wall.places()
        assert places[0] > 0
        assert places[1] > places[0] + 24
        assert places[1] + 20 < 132
        assert not wall.is_too_short()
        assert a_wall(length=Fraction(40)).is_too_short()

    def test_two_upper_screws_and_one_below(self) -> None:
        assert screw_heights(a_wall()) == [4, 4, Fraction(3, 2)]

    def test_is_drawn_to_scale(self) -> None:
        wall = a_wall()
        root = ElementTree.fromstring(wall_svg(wall))
        scale = (WIDE - 2 * MARGIN) / 132
        boxes = [{k: float(v) for k, v in each.attrib.items() if k in ("x", "y", "width", "height")}
                 for each in root.iter(f"{SVG}rect")]  # fmt: skip
        ground, rail, shelf, cabinet = boxes
        floor = ground["y"] + ground["height"]
        assert rail["width"] == pytest.approx(132 * scale, abs=0.02)
        assert floor - rail["y"] - rail["height"] == pytest.approx(60 * scale, abs=0.02)
        assert floor - shelf["y"] == pytest.approx((60 + 5.5 + 1) * scale, abs=0.02)
        assert cabinet["height"] == pytest.approx(16 * scale, abs=0.02)
        assert len(list(root.iter(f"{SVG}circle"))) == 3 * len(wall.studs())


class TestSite:
    def test_every_room_type_and_floor_has_its_page(self, estimate: Estimate) -> None:
        page = site_html(estimate)
        for each in (*estimate.project.types, *estimate.project.floors):
            assert f"<h1>{each.name}</h1>" in page
        assert page.count("<svg") == len(estimate.project.runs)

    def test_deliveries_are_all_modules_that_are_made(self, estimate: Estimate) -> None:
        page = site_html(estimate)
        lists = page.split("delivery list</p>")[1:]
        found: Counter[str] = Counter()
        for each in lists:
            modules = each.split("<h2>Rails</h2>")[0]
            for name, count in re.findall(
                r'<tr><td>([^<]*)</td><td class="figure">(\d+)<', modules
            ):
                found[name] += int(count)
        made = estimate.values["modules"].set_index("name")["made"]
        assert {name: count for name, count in made.items() if count} == dict(found)

    def test_holds_no_secret(self) -> None:
        page = site_html(level(planted(read_template(DEMO))))
        for place in ("supplier", "grades", "source", "prices"):
            assert not re.search(f"{MARK} \\w+ {place}|{MARK} {place}", page)

    def test_hostile_names_are_no_markup(self, estimate: Estimate) -> None:
        module = estimate.project.modules[0].model_copy(update={"name": "<script>x</script>&"})
        project = estimate.project.model_copy(
            update={"modules": (module, *estimate.project.modules[1:])}
        )
        assert "<script" not in site_html(level(project))

    @pytest.mark.slow
    def test_prints_in_a_browser(self, estimate: Estimate, tmp_path: Path) -> None:
        page = tmp_path / "site.html"
        page.write_text(site_html(estimate), encoding="utf-8")
        pages = calc.pdf_pages(browser.print_to_pdf(page, tmp_path / "site.pdf"), tmp_path, 30)
        assert len(pages) >= len(estimate.project.types) + len(estimate.project.floors)


class TestKits:
    def test_kits_of_all_rooms_are_what_the_rooms_use(self, estimate: Estimate) -> None:
        """Screws in studs: a room's kit times its rooms is what the workbook counts for them."""
        found = 0
        for room in estimate.values["types"].to_dict("records"):
            kit = {
                line.item: line.count
                for line in kit_of(estimate, room["key"])
                if line.where == SITE
            }
            found += kit["wall-screw"] * int(room["rooms"])
        items = estimate.values["items"].set_index("key")
        assert found == items.loc["wall-screw", "used"]


class TestShop:
    def test_lists_every_piece_of_the_job(self, estimate: Estimate, tmp_path: Path) -> None:
        path = tmp_path / "shop.xlsx"
        path.write_bytes(shop_book(estimate))
        values = cells.values(path)
        counts = [v for (sheet, place), v in values.items() if sheet == "Parts" and place[0] == "I"]
        numbers = [each for each in counts if isinstance(each, int | float)]
        assert sum(numbers) == sum(line.count for line in cut_list(estimate))
        assert sum(numbers) == estimate.values["pieces"]["needed"].sum()

    def test_a_label_for_every_module_in_a_room(self, estimate: Estimate, tmp_path: Path) -> None:
        path = tmp_path / "shop.xlsx"
        path.write_bytes(shop_book(estimate))
        labels = [place for (sheet, place), _ in cells.values(path).items()
                  if sheet == "Labels" and place[0] == "F" and int(place[1:]) > 4]  # fmt: skip
        contents = estimate.values["contents"]
        counted = estimate.values["types"].set_index("key")["counted"]
        assert len(labels) == sum(
            each * counted[key]
            for each, key in zip(contents["each"], contents["room_type"], strict=True)
        )

    def test_holds_no_price_and_no_secret(self) -> None:
        secret = level(planted(read_template(DEMO)))
        book = shop_book(secret)
        assert_no_numbers(secret, book)
        text = "".join(parts_of(book).values())
        for place in ("items supplier", "grades", "prices"):
            assert f"{MARK} {place}" not in text
        assert hidden_in(book) == []
