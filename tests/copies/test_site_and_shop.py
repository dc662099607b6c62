"""The site's sheets and the shop's workbook: complete, to scale, and without a price."""

from __future__ import annotations

import re
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from estimator.copies.kits import beside_kits, kit_of
from estimator.copies.shop import finish_rows, shop_book
from estimator.copies.shop_pages import shop_html
from estimator.copies.site import site_html
from estimator.documents.cut_list import cut_list
from estimator.documents.cut_sheets import cut_sheets
from estimator.drawing.wall import Hung, Wall, scale_of, screw_heights, wall_svg
from estimator.estimate import Estimate
from estimator.project.lengths import format_length
from estimator.project.records import Use
from estimator.project.templates import list_templates, read_template
from estimator.quantities.kits import SITE
from tests.copies.estimates import level
from tests.documents.reading import text_of
from tests.documents.samples import sample
from tests.engines import cells

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
        "hung": (Hung(1, "shelf", "Shelf", Fraction(24), Fraction(6), Fraction(1)),
                 Hung(2, "cabinet", "<Cabinet & co>", Fraction(20), Fraction(16), Fraction(0))),
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

    def test_two_upper_screws_and_one_below(self) -> None:
        assert screw_heights(a_wall()) == [4, 4, Fraction(3, 2)]

    def test_is_drawn_to_scale(self) -> None:
        """On paper: at 1 to 25 the drawing is as many mm wide as its frame says it has units."""
        wall = a_wall()
        root = ElementTree.fromstring(wall_svg(wall, 25))
        frame = [float(each) for each in root.attrib["viewBox"].split()]
        assert (root.attrib["width"], root.attrib["height"]) == (
            f"{frame[2]:.2f}mm", f"{frame[3]:.2f}mm"
        )  # fmt: skip
        boxes = [{k: float(v) for k, v in each.attrib.items() if k in ("x", "y", "width", "height")}
                 for each in root.iter(f"{SVG}rect")]  # fmt: skip
        ground, rail, shelf, cabinet = boxes
        floor, each = ground["y"] + ground["height"], 25.4 / 25
        assert rail["width"] == pytest.approx(132 * each, abs=0.02)
        assert floor - rail["y"] - rail["height"] == pytest.approx(60 * each, abs=0.02)
        assert floor - shelf["y"] == pytest.approx((60 + 5.5 + 1) * each, abs=0.02)
        assert cabinet["height"] == pytest.approx(16 * each, abs=0.02)
        assert len(list(root.iter(f"{SVG}circle"))) == 3 * len(wall.studs())

    def test_the_scale_is_the_largest_round_one_that_goes_on_the_page(self) -> None:
        assert scale_of([a_wall(length=Fraction(200, 5), bottom=Fraction(4))]) == 10
        assert scale_of([a_wall()]) == 25
        assert scale_of([a_wall(), a_wall(length=Fraction(300))]) == 75
        assert scale_of([a_wall(length=Fraction(3352), unit="mm", bottom=Fraction(1524))]) == 25


class TestSite:
    def test_every_room_type_and_floor_has_its_page(self, estimate: Estimate) -> None:
        page = site_html(estimate)
        types, floors = estimate.project.types, estimate.project.floors
        for name in (*(each.name for each in types), *(each.name for each in floors)):
            assert f"<h1>{name}</h1>" in page
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

    def test_says_what_hangs_and_what_the_screws_are_used_to(self, estimate: Estimate) -> None:
        text = text_of(site_html(estimate))
        runs = estimate.values["runs"]
        for hung, use in zip(runs["hung"], runs["use"], strict=True):
            assert f"Hung with what it carries: {hung:,.1f} lb in all." in text
            shown = f"{round(use * 100, 1):g}%"
            assert f"its screws are used to {shown}" in text
        assert "local codes" in text

    def test_a_wall_that_does_not_hold_stops_the_crew(self, estimate: Estimate) -> None:
        heavy = [
            each.model_copy(update={"load": Decimal(900)}) for each in estimate.project.modules
        ]
        runs = [each.model_copy(update={"wall": "masonry"}) if at == 1 else each
                for at, each in enumerate(estimate.project.runs)]  # fmt: skip
        update = {"modules": tuple(heavy), "runs": tuple(runs)}
        text = text_of(site_html(level(estimate.project.model_copy(update=update))))
        assert "hang nothing before the shop has answered" in text
        assert "Wall of masonry: only with the backing or the anchors agreed for it." in text
        assert "hang nothing before it is agreed" in text
        assert "hang nothing" not in text_of(site_html(estimate))

    def test_screw_heights_are_told_over_the_floor(self, estimate: Estimate) -> None:
        run, profile = estimate.project.runs[0], estimate.project.profiles[0]
        low, high = profile.width - profile.screw_line, profile.screw_line
        shown = [format_length(run.bottom + each, "in") for each in (high, low)]
        expected = f"screws in each stud: 2 at {shown[0]} and 1 at {shown[1]} over the floor"
        assert expected in text_of(site_html(estimate))

    def test_every_module_of_a_room_is_listed_also_one_on_no_rail(self, estimate: Estimate) -> None:
        loose = estimate.project.contents[0].model_copy(update={"run": "", "each": 1})
        update = {"contents": (loose, *estimate.project.contents[1:])}
        text = text_of(site_html(level(estimate.project.model_copy(update=update))))
        assert text.count("no rail") == 1

    def test_a_mirror_of_43_pounds_is_lifted_by_two(self, estimate: Estimate) -> None:
        """The single lift allows 51 lb; the lifting equation, at the reach to a rail, less."""
        modules = [
            each.model_copy(update={"bought_weight": Decimal(32)}) if each.key == "mirror-36"
            else each
            for each in estimate.project.modules
        ]  # fmt: skip
        heavy = level(estimate.project.model_copy(update={"modules": tuple(modules)}))
        weight = float(heavy.values["modules"].set_index("key")["weight"]["mirror-36"])
        assert 37 < weight < 51
        text = text_of(site_html(heavy))
        assert f"{weight:,.1f} lb 5.0 lb two people" in text
        assert "two people 1" not in text_of(site_html(estimate))

    def test_hours_are_those_of_the_workbook(self, estimate: Estimate) -> None:
        text, rooms = text_of(site_html(estimate)), estimate.values["one_room"]
        for room in rooms[rooms["rooms"] > 0].to_dict("records"):
            hours = f"{room['site_hours']:,.1f}".removesuffix(".0")
            assert f"about {hours} hours of work for one person" in text

    def test_modules_wider_than_their_rail_are_told(self, estimate: Estimate) -> None:
        wide = estimate.project.contents[0].model_copy(update={"each": 20})
        crowded = estimate.project.model_copy(
            update={"contents": (wide, *estimate.project.contents[1:])}
        )
        words = "The modules are wider together than this rail: ask the shop."
        assert words in text_of(site_html(level(crowded)))
        assert words not in text_of(site_html(estimate))

    def test_hostile_names_are_no_markup(self, estimate: Estimate) -> None:
        module = estimate.project.modules[0].model_copy(update={"name": "<script>x</script>&"})
        project = estimate.project.model_copy(
            update={"modules": (module, *estimate.project.modules[1:])}
        )
        assert "<script" not in site_html(level(project))


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

    def test_kits_and_what_is_beside_them_are_all_that_is_used(self) -> None:
        """Also of drivers that only the job has, and of those that hardly any job has."""
        demo = read_template(DEMO)
        drivers = ("edges", "parts", "coats", "floors", "birch-ply", "rail-ply", "king", "job")
        more = [Use(per=each, item="shim", amount=Decimal("0.5")) for each in drivers]
        estimate = level(demo.model_copy(update={"uses": (*demo.uses, *more)}))
        kits, rooms = Counter[str](), estimate.values["types"].set_index("key")["rooms"]
        for key, count in rooms.items():
            for line in kit_of(estimate, str(key)):
                kits[line.item] += line.count * int(count)
        for beside in beside_kits(estimate):
            kits[beside.item] += beside.for_spares + beside.for_job
        items = estimate.values["items"].set_index("key")
        packed = items[items["packed"] == 1]
        assert set(kits) == set(packed.index)
        for item, used in packed["used"].items():
            whole = sum(rooms) + 2  # at most one more for each room, the spares and the job
            assert used <= kits[str(item)] + 1e-6 < used + (whole if item == "shim" else 1e-5)
        assert "shim" in {line.item for line in beside_kits(estimate)}

    def test_the_shop_copy_lists_what_is_in_no_kit(
        self, estimate: Estimate, tmp_path: Path
    ) -> None:
        path = tmp_path / "shop.xlsx"
        path.write_bytes(shop_book(estimate))
        shown = cells.values(path)
        beside = {line.item: line.for_spares for line in beside_kits(estimate)}
        assert beside["wood-screw"] == 308
        places = {v: place for (sheet, place), v in shown.items() if sheet == "Kits"}
        assert "Hardware in no room's kit" in places
        assert 308 in places


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

    def test_pages_for_print_list_every_piece_kit_and_coat(self, estimate: Estimate) -> None:
        text = text_of(shop_html(estimate))
        lines = cut_list(estimate)
        for floor in estimate.project.floors:
            assert f"{floor.name}: {estimate.project.types[0].name}" in text
        assert all(line.key in text for line in lines)
        for room in estimate.project.types:
            assert f"{room.name} (" in text
        for finish in finish_rows(estimate):
            assert f"{finish['what']}" in text

    @pytest.mark.parametrize("template", [each.name for each in list_templates()])
    def test_the_finish_schedule_is_the_area_that_is_bought_for(self, template: str) -> None:
        made = level(read_template(template))
        found: Counter[str] = Counter()
        for row in finish_rows(made):
            found[row["key"]] += row["area"]
        finishes = made.values["finishes"].set_index("key")["in_job"]
        expected = {key: area for key, area in finishes.items() if area}
        assert dict(found) == pytest.approx(expected, rel=1e-12)
        text = text_of(shop_html(made))
        for area in expected.values():
            assert f"Total, one coat {area:,.1f}".removesuffix(".0") in text

    def test_the_shop_copy_adds_the_finish_up(self, estimate: Estimate, tmp_path: Path) -> None:
        path = tmp_path / "shop.xlsx"
        path.write_bytes(shop_book(estimate))
        in_all = estimate.values["finishes"]["in_job"].sum()
        shown = [v for (sheet, _), v in cells.values(path).items() if sheet == "Finish"]
        assert any(isinstance(v, float) and abs(v - in_all) < 1e-6 for v in shown)

    def test_patterns_give_what_the_plan_cuts(self, tmp_path: Path) -> None:
        wall = sample("one-wall")
        path = tmp_path / "shop.xlsx"
        path.write_bytes(shop_book(wall))
        shown = cells.values(path)
        given: Counter[str] = Counter()
        for (sheet, place), piece in shown.items():
            if sheet == "Patterns" and place[0] == "C" and int(place[1:]) > 4:
                count = shown.get((sheet, f"G{place[1:]}"), 0)
                given[str(piece)] += int(count) if isinstance(count, int | float) else 0
        cut = Counter[str]()
        for plan in wall.plans:
            for sheet_ in cut_sheets(plan, "in"):
                for key, each in sheet_.pieces.items():
                    cut[key] += each * sheet_.times
        assert sum(cut.values()) > 0
        assert {key: n for key, n in given.items() if n} == dict(cut)
