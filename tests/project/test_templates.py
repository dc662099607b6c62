"""Templates: the invented jobs are sane, and every fault of a file is said with its place."""

import shutil
import subprocess
import sys
import venv
from collections import Counter, defaultdict
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import estimator
from estimator.data import data_folder
from estimator.problems import ProblemsFound
from estimator.project.records import Project
from estimator.project.templates import list_templates, read_template

NAMES = [each.name for each in list_templates()]
PROJECTS = {name: read_template(name) for name in NAMES}
INCH_PROJECTS = {name: each for name, each in PROJECTS.items() if each.project.unit == "in"}
LODGING = {name: PROJECTS[name] for name in ("merrowby-lodge", "three-hundred-rooms")}

every_project = pytest.mark.parametrize("project", PROJECTS.values(), ids=PROJECTS)
every_inch_project = pytest.mark.parametrize("project", INCH_PROJECTS.values(), ids=INCH_PROJECTS)
every_lodging = pytest.mark.parametrize("project", LODGING.values(), ids=LODGING)


def test_the_templates_are_listed_with_a_title_and_a_sentence() -> None:
    assert NAMES == ["merrowby-lodge", "one-wall", "one-wall-metric", "three-hundred-rooms"]
    for name, title, about in list_templates():
        assert name
        assert title
        assert about.endswith("All values invented.")


# --- The invented jobs ----------------------------------------------------------------------------


@every_project
def test_everything_says_that_it_is_invented(project: Project) -> None:
    assert "(invented)" in project.project.name
    assert "invented" in project.project.remark
    for table in (project.materials, project.items, project.prices, project.operations):
        assert all("invented" in row.source for row in table)


@pytest.mark.parametrize("path", sorted(data_folder("templates").glob("[kpr]*/*.toml")), ids=str)
def test_every_file_says_so_at_its_head(path: Path) -> None:
    head = path.read_text(encoding="utf-8").split("\n\n")[0]
    assert "nvented" in head or "one-wall job once more" in head


def test_the_demo_is_of_the_size_that_was_asked_for() -> None:
    demo = PROJECTS["merrowby-lodge"]
    assert len(demo.floors) == 3
    assert [each.guest_room for each in demo.types] == ["yes"] * 5 + ["no"]
    assert 55 <= rooms(demo) <= 65
    assert len(demo.modules) >= 10
    assert sum(each.mock_ups for each in demo.types) == 1
    assert {each.form for each in demo.materials} == {"sheet", "length"}


def test_the_large_job_is_of_the_size_that_was_asked_for() -> None:
    tower = PROJECTS["three-hundred-rooms"]
    assert (len(tower.floors), len(tower.types)) == (10, 8)
    assert 290 <= rooms(tower) <= 300


def rooms(project: Project, **features: str) -> int:
    """Guest rooms whose type has these features."""
    wanted = {"guest_room": "yes", **features}
    keys = {
        each.key
        for each in project.types
        if all(getattr(each, name) == value for name, value in wanted.items())
    }
    return sum(each.rooms for each in project.counts if each.room_type in keys)


@pytest.mark.parametrize(
    ("name", "row", "tub", "roll_in", "communication"),
    [("merrowby-lodge", (51, 75), 3, 1, 7), ("three-hundred-rooms", (201, 300), 7, 3, 17)],
)
def test_accessible_rooms_are_as_many_as_the_standard_asks(
    name: str, row: tuple[int, int], tub: int, roll_in: int, communication: int
) -> None:
    """2010 ADA Standards, tables 224.2 and 224.4 (read in secondary sources), 224.5.

    At most a tenth of the mobility rooms may count among those with communication features, and
    at least one has both.
    """
    project = LODGING[name]
    assert row[0] <= rooms(project) <= row[1]
    assert rooms(project, mobility="tub") == tub
    assert rooms(project, mobility="roll-in") == roll_in
    both = rooms(project, communication="yes") - rooms(project, communication="yes", mobility="no")
    counted = min(both, (tub + roll_in) // 10)
    assert both >= 1
    assert rooms(project, communication="yes", mobility="no") + counted >= communication


@every_project
def test_every_module_is_whole(project: Project) -> None:
    """A bevelled cleat, screws, minutes, and parts no larger than the module."""
    made = {each.per for each in project.operations}
    for module in project.modules:
        parts = [each for each in project.parts if each.module == module.key]
        assert sum(each.bevelled == "yes" for each in parts) == 1, module.key
        assert "wood-screw" in {each.item for each in project.uses if each.per == module.key}
        assert module.key in made
        longest = max(module.width, module.height, module.depth)
        assert max(max(each.length, each.width) for each in parts) <= longest, module.key
        widest = max(
            (each for each in parts if each.bevelled == "yes"), key=lambda each: each.length
        )
        assert widest.length <= module.width


@every_project
def test_modules_fit_side_by_side_on_their_rail(project: Project) -> None:
    width = {each.key: each.width for each in project.modules}
    taken: dict[str, Fraction] = defaultdict(Fraction)
    for each in project.contents:
        assert each.run
        taken[each.run] += each.each * width[each.module]
    for run in project.runs:
        assert 0 < taken[run.key] <= run.length, run.key


@every_project
def test_every_measure_of_work_is_used_somewhere_or_the_job_is_small(project: Project) -> None:
    drivers = {each.per for each in project.operations}
    assert {"sheets", "cuts", "bevel", "area", "coats", "studs", "modules", "rooms"} <= drivers
    assert {each.where for each in project.operations} == {"shop", "site"}


@every_inch_project
def test_no_board_spans_more_than_thirty_inches(project: Project) -> None:
    """30 in for 3/4 in plywood under books: a rule of thumb (secondary source)."""
    boards = [each for each in project.parts if each.name in ("Board", "Shelf", "Base", "Slat")]
    assert boards
    assert all(each.length <= 30 for each in boards)


@every_inch_project
def test_nothing_juts_out_more_than_four_inches_over_a_path(project: Project) -> None:
    """2010 ADA Standards, 307.2: over 27 and up to 80 in above the floor, at most 4 in."""
    depth = {each.key: each.depth for each in project.modules}
    paths = {each.key for each in project.runs if each.over == "path"}
    assert all(depth[each.module] <= 4 for each in project.contents if each.run in paths)


@every_lodging
def test_in_accessible_rooms_things_are_within_reach_and_mirrors_low(project: Project) -> None:
    """2010 ADA Standards: 308, 15 to 48 in over the floor; 603.3, mirrors end at 35 in or lower.

    The top of a module lies between the top of its rail and a 3 in cleat above it; both are tried.
    """
    accessible = {each.key for each in project.types if each.mobility != "no"}
    runs = {each.key: each for each in project.runs}
    width = {each.key: each.width for each in project.profiles}
    modules = {each.key: each for each in project.modules}
    looked_at = 0
    for content in project.contents:
        if content.room_type in accessible:
            run, module = runs[content.run], modules[content.module]
            for cleat in (0, 3):
                top = run.bottom + width[run.profile] + cleat
                bottom = top - module.height
                looked_at += 1
                if content.module == "mirror-36":
                    assert bottom <= 35
                else:
                    assert 15 <= bottom < top <= 48, (run.key, module.key)
                if content.module == "desk-shelf":
                    assert 28 <= top <= 34, "2010 ADA Standards, 902.3"
    assert looked_at >= 40


@every_lodging
def test_something_is_said_of_scope_and_of_what_can_hurt(project: Project) -> None:
    kinds = Counter(each.kind for each in project.clauses)
    assert kinds["allowance"] == 1
    assert min(kinds[each] for each in ("included", "excluded", "caution")) >= 3
    cautions = " ".join(each.text for each in project.clauses if each.kind == "caution")
    for word in ("studs", "Wallboard alone", "dust", "lift", "metal can", "codes", "guard"):
        assert word in cautions
    assert any("licensed electrician" in each.text for each in project.clauses)


def test_a_wall_at_home_takes_less_than_one_sheet() -> None:
    """Common practice, no source: rails for a wall, a few shelves and a cabinet, one 4 x 8 sheet.

    Each piece is taken with a kerf along both its sides, which more than covers every cut.
    """
    for name in ("one-wall", "one-wall-metric"):
        project = PROJECTS[name]
        kerf, (sheet, *_) = project.terms.kerf, project.materials
        rails = [(each.length, project.profiles[0].width, 1) for each in project.runs]
        each_has = {each.key: 0 for each in project.modules}
        for content in project.contents:
            each_has[content.module] += content.each
        parts = [(p.length, p.width, p.each * each_has[p.module]) for p in project.parts]
        area = sum((long + kerf) * (wide + kerf) * count for long, wide, count in rails + parts)
        assert Fraction(1, 4) < area / (sheet.length * sheet.width) < Fraction(9, 10)


# --- Faults of files ------------------------------------------------------------------------------


@pytest.fixture
def templates(tmp_path: Path) -> Path:
    """A copy of the templates that a test may spoil."""
    for kind in ("kits", "rooms", "properties"):
        shutil.copytree(data_folder("templates") / kind, tmp_path / kind)
    return tmp_path


def spoil(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def messages(folder: Path, name: str = "one-wall") -> list[str]:
    with pytest.raises(ProblemsFound) as found:
        read_template(folder / "properties" / f"{name}.toml")
    return [str(each).replace(f"{folder}/", "") for each in found.value.problems]


def test_a_copy_of_a_template_gives_the_same_project(templates: Path) -> None:
    assert read_template(templates / "properties" / "one-wall.toml") == PROJECTS["one-wall"]
    assert read_template(str(templates / "properties" / "one-wall.toml")) == PROJECTS["one-wall"]


def test_a_property_alone_takes_kits_and_rooms_from_the_tool(tmp_path: Path) -> None:
    path = tmp_path / "properties" / "mine.toml"
    path.parent.mkdir()
    shutil.copy(data_folder("templates") / "properties" / "one-wall.toml", path)
    assert read_template(path) == PROJECTS["one-wall"]


def test_faults_of_all_files_are_said_together(templates: Path) -> None:
    spoil(templates / "rooms" / "home-wall.toml", 'length = "60"', 'length = "5\' 14"')
    spoil(templates / "kits" / "home.toml", "load = 20", "laod = 20")
    spoil(
        templates / "kits" / "home.toml", 'width = "4 1/4", each = 2', 'width = "4 5/4", each = 0'
    )
    spoil(templates / "properties" / "one-wall.toml", "margin = 0.2\n", 'margin = "a fifth"\n')
    spoil(templates / "properties" / "one-wall.toml", 'unit = "in"\n', "")
    assert messages(templates) == [
        "properties/one-wall.toml, project, unit: found nothing; expected a value for Unit of "
        "length. Fill it in: Lengths on every sheet are in inches (in) or millimetres (mm).",
        "properties/one-wall.toml, terms, margin: found “a fifth”; expected a number for Margin on "
        "price. Type digits only, with a point before decimals and no unit or currency sign.",
        "rooms/home-wall.toml, runs 2, length: found “5' 14”; expected fewer than 12 inches after "
        "the feet. Check both figures; type 12 inches or more as feet and inches, or as inches "
        "only.",
        "kits/home.toml, modules 1, load: found nothing; expected a value for Hung load. Fill it "
        "in: What it is expected to carry.",
        "kits/home.toml, modules 1, laod: found “laod”; expected a field of this table: key, name, "
        "width, height, depth, above, purpose, sill, locked, load, spares, bought_weight and 1 "
        "more. Did you mean load?",
        "kits/home.toml, modules 1, parts 2, width: found “4 5/4”; expected a fraction smaller "
        "than one. Type 5 1/4 if that is the length; leave a blank between a whole number and its "
        "fraction, as in 5 1/2.",
        "kits/home.toml, modules 1, parts 2, each: found “0”; expected more than 0 for In each "
        "module. Correct the number. How many.",
    ]


def test_faults_between_files_have_their_places_too(templates: Path) -> None:
    spoil(templates / "properties" / "one-wall.toml", "[counts.home-wall]", "[counts.home-wal]")
    spoil(templates / "rooms" / "home-wall.toml", 'profile = "rail-home"', 'profile = "rail-hom"')
    assert messages(templates) == [
        "properties/one-wall.toml, counts, home-wal, H1, room_type: found “home-wal”; expected one "
        "of: home-wall. Did you mean home-wall?",
        "rooms/home-wall.toml, runs 1, profile: found “rail-hom”; expected one of: rail-home. "
        "Did you mean rail-home?",
        "rooms/home-wall.toml, key: found “home-wall”; expected a row of room counts. "
        "Add its counts; type 0 where there are none.",
    ]


def test_a_kit_in_another_unit_is_refused(templates: Path) -> None:
    spoil(templates / "properties" / "one-wall.toml", '["home"]', '["home-metric"]')
    assert messages(templates)[0] == (
        "kits/home-metric.toml, unit: found “mm”; expected in, the unit of the property. "
        "Name a kit or room in that unit; its lengths and weights are taken as they stand."
    )


def test_unknown_kits_rooms_and_tables_are_said_with_the_nearest(templates: Path) -> None:
    path = templates / "properties" / "one-wall.toml"
    spoil(path, '["home"]', '["hoome"]')
    spoil(path, '["home-wall"]', '["home-walls"]')
    spoil(path, "[[stages]]", "[[stage]]")
    said = messages(templates)
    assert [each.split(": found")[0] for each in said] == [
        "properties/one-wall.toml, stage",
        "properties/one-wall.toml, kits",
        "properties/one-wall.toml, rooms",
    ]
    assert [each.split("Did you mean ")[1] for each in said] == ["stages?", "home?", "home-wall?"]


def test_wrong_shapes_are_said(templates: Path) -> None:
    path = templates / "properties" / "one-wall.toml"
    spoil(path, 'rooms = ["home-wall"]', 'rooms = "home-wall"')
    spoil(path, "[counts.home-wall]\nH1 = 1", "[counts]\nhome-wall = 1")
    spoil(path, 'title = "One wall at home"', "title = 1")
    said = messages(templates)
    assert [each.split(": found")[0] for each in said] == [
        "properties/one-wall.toml, title",
        "properties/one-wall.toml, rooms",
        "properties/one-wall.toml, counts, home-wall",
    ]


def test_an_override_changes_one_field_and_its_faults_are_said_at_its_own_place(
    templates: Path,
) -> None:
    path = templates / "properties" / "one-wall.toml"
    spoil(
        path,
        "[overrides.operations.draw]",
        "[overrides.modules.small-shelf]\nload = 12\n\n[overrides.operations.draw]",
    )
    changed = read_template(path)
    assert [each.load for each in changed.modules] == [12, 25, 10]
    spoil(path, "\nload = 12", '\nload = "heavy"')
    spoil(path, "[overrides.operations.draw]", "[overrides.operations.drew]")
    said = messages(templates)
    assert said[0].startswith("properties/one-wall.toml, overrides, operations, drew: found “drew”")
    assert said[0].endswith("Did you mean draw?")
    assert said[1].startswith(
        "properties/one-wall.toml, overrides, modules, small-shelf, load: found “heavy”"
    )


def test_an_error_of_spelling_is_said_with_its_line(templates: Path) -> None:
    path = templates / "rooms" / "home-wall.toml"
    spoil(path, 'length = "84"', 'length = 84"')
    line = path.read_text(encoding="utf-8").splitlines().index('length = 84"') + 1
    (said, *_) = messages(templates)
    assert said.startswith(
        f'rooms/home-wall.toml, line {line}: found “length = 84"”; expected TOML.'
    )


def test_another_encoding_is_said(templates: Path) -> None:
    path = templates / "kits" / "home.toml"
    path.write_bytes(path.read_bytes() + "# é\n".encode("latin-1"))
    assert "expected text encoded as UTF-8" in messages(templates)[0]


@pytest.mark.parametrize(
    ("name", "nearest"),
    [("merrowby", "merrowby-lodge"), ("one-wal", "one-wall"), ("Three-Hundred-Rooms", "three-")],
)
def test_an_unknown_template_is_said_with_the_known_and_the_nearest(
    name: str, nearest: str
) -> None:
    with pytest.raises(ProblemsFound) as found:
        read_template(name)
    (problem,) = found.value.problems
    assert problem.expected == f"one of {', '.join(NAMES)}"
    assert problem.fix.startswith(f"Did you mean {nearest}")


@pytest.mark.parametrize("path", ["none/such.toml", ".", "a\x00b.toml", Path("none")])
def test_a_path_that_cannot_be_read_is_said_once(path: str | Path) -> None:
    if path == ".":
        path = Path(path)
    with pytest.raises(ProblemsFound) as found:
        read_template(path)
    (problem,) = found.value.problems
    assert problem.expected == "a file that can be read"


SPOILT = st.tuples(
    st.sampled_from(["properties/one-wall.toml", "rooms/home-wall.toml", "kits/home.toml"]),
    st.floats(0, 1, exclude_max=True),
    st.integers(0, 30),
    st.text(st.characters(codec="utf-8"), max_size=8),
)


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(SPOILT)
def test_whatever_is_typed_into_a_file_gives_a_project_or_problems(
    templates: Path, spoilt: tuple[str, float, int, str]
) -> None:
    name, where, length, typed = spoilt
    for file in ("properties/one-wall.toml", "rooms/home-wall.toml", "kits/home.toml"):
        shutil.copy(data_folder("templates") / file, templates / file)
    path = templates / name
    text = path.read_text(encoding="utf-8")
    at = int(where * len(text))
    path.write_text(text[:at] + typed + text[at + length :], encoding="utf-8", newline="")
    said = outcome(templates / "properties" / "one-wall.toml")
    assert said
    assert all(said)


def outcome(path: Path) -> list[str]:
    """The name of the project, or its problems; whatever else is raised fails the test."""
    try:
        return [type(read_template(path)).__name__]
    except ProblemsFound as found:
        return [str(each) for each in found.problems]


# --- Installed ------------------------------------------------------------------------------------


@pytest.mark.slow
def test_an_installed_package_brings_its_templates_and_rates_to_any_folder(tmp_path: Path) -> None:
    """A wheel, built and put into an environment of its own, read from another folder."""
    checkout = Path(estimator.__file__).parent.parent
    pip = (sys.executable, "-m", "pip")
    subprocess.run([*pip, "wheel", "--quiet", "--no-deps", "-w", tmp_path, checkout], check=True)
    (wheel,) = tmp_path.glob("estimator-*.whl")
    venv.create(tmp_path / "env", with_pip=False, symlinks=True)
    python = tmp_path / "env" / "bin" / "python"
    (site,) = (tmp_path / "env" / "lib").glob("python*/site-packages")
    subprocess.run([*pip, "install", "--quiet", "--no-deps", "--target", site, wheel], check=True)
    assert (site / "estimator" / "py.typed").is_file()
    (about,) = site.glob("estimator-*.dist-info/METADATA")
    told = about.read_text(encoding="utf-8").splitlines()
    assert {f"Version: {estimator.__version__}", "License-Expression: LicenseRef-Proprietary"} <= {
        *told
    }
    asked = (
        "import sys, estimator; from estimator.data import data_folder;"
        "from estimator.project.templates import list_templates, read_template;"
        "assert data_folder('rates').is_relative_to(sys.prefix), data_folder('rates');"
        "print([len(read_template(each.name).modules) for each in list_templates()])"
    )
    dependencies = str(Path(pytest.__file__).parent.parent)
    answer = subprocess.run(
        [python, "-c", f"import sys; sys.path.append({dependencies!r}); {asked}"],
        cwd=tmp_path,
        check=True,
        capture_output=True,
        text=True,
    )
    assert answer.stdout.strip() == str([len(each.modules) for each in PROJECTS.values()])
