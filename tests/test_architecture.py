"""The shape of the tree: floors, shelves, pure rooms, frozen values, charters, sizes."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "vectorprep"
MODULES = sorted(PACKAGE.rglob("*.py"))

FLOORS = {
    "errors": 0,
    "units": 0,
    "geometry": 0,
    "colour": 0,
    "records": 0,
    "model": 1,
    "engine": 1,
    "png": 1,
    "deflate": 1,
    "press": 1,
    "markup": 1,
    "fonts": 1,
    "shapes": 1,
    "read": 2,
    "measure": 2,
    "plan": 2,
    "recolour": 2,
    "finish": 2,
    "judge": 2,
    "outputs": 2,
    "checks": 2,
    "report": 2,
    "profiles": 2,
    "settings": 2,
    "scenes": 2,
    "sheets": 2,
    "run": 3,
    "store": 3,
    "pipeline": 4,
    "cli": 5,
    "__main__": 6,
}
RASTERISERS = {"resvg_py", "svg2png_py", "resvg", "cairosvg", "pyvips"}
READS_FILES = {"store", "fonts", "run"}  # fonts opens font files only; run starts workers and keeps the ledger
FILE_CALLS = {"open", "read_text", "read_bytes", "write_text", "write_bytes", "mkdir", "unlink", "rename", "replace"}
CARD = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "vectorprep",
    "tests",
    "sample_svgs",
    "profiles",
    "LICENSE",
    "requirements.lock",
}


def room_of(path: Path) -> str:
    """The room that a module belongs to: the first name below the package."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def tree_of(path: Path) -> ast.Module:
    """The parsed module."""
    return ast.parse(path.read_text(encoding="utf-8"))


def imported_rooms(path: Path) -> Iterator[str]:
    """Rooms of vectorprep that a module imports, also inside functions."""
    for node in ast.walk(tree_of(path)):
        names = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module] if node.module != "vectorprep" else [f"vectorprep.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        for name in names:
            parts = name.split(".")
            if parts[0] == "vectorprep" and len(parts) > 1 and parts[1] in FLOORS:
                yield parts[1]


def ids(path: Path) -> str:
    """How a module is called in a test's name."""
    return str(path.relative_to(PACKAGE))


@pytest.mark.parametrize("path", [path for path in MODULES if path.name != "__init__.py" or path.parent != PACKAGE], ids=ids)
def test_imports_run_downward_only(path: Path) -> None:
    """A room imports lower floors and itself; on floors 0 and 1 also its neighbours, above that nobody beside it."""
    room = room_of(path)
    for other in imported_rooms(path):
        if other == room:
            continue
        assert FLOORS[other] < FLOORS[room] or (FLOORS[other] == FLOORS[room] <= 1), f"{room} imports {other}"


def test_rooms_of_the_lowest_floors_do_not_import_each_other_in_circles() -> None:
    """Among rooms of one floor the imports make no cycle."""
    edges: dict[str, set[str]] = {}
    for path in MODULES:
        room = room_of(path)
        if FLOORS.get(room, 9) <= 1:
            edges.setdefault(room, set()).update(other for other in imported_rooms(path) if other != room and FLOORS[other] <= 1)
    done: set[str] = set()
    while len(done) < len(edges):
        free = {room for room in edges if room not in done and edges[room] <= done}
        assert free, f"a cycle among {sorted(set(edges) - done)}"
        done |= free


def test_every_room_has_a_floor() -> None:
    """Each folder or module below the package is on the map above."""
    rooms = {room_of(path) for path in MODULES} - {"__init__", "_data"}
    assert rooms <= set(FLOORS), f"no floor given for {sorted(rooms - set(FLOORS))}"


@pytest.mark.parametrize("path", MODULES, ids=ids)
def test_a_module_has_a_charter_and_at_most_400_lines(path: Path) -> None:
    """Each module opens with what it is for and stays short enough to read."""
    text = path.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text)), f"{ids(path)} has no charter"
    assert len(text.splitlines()) <= 400, f"{ids(path)} has {len(text.splitlines())} lines"


@pytest.mark.parametrize("path", MODULES, ids=ids)
def test_only_engine_knows_a_rasteriser(path: Path) -> None:
    """No other room imports a drawing library."""
    if room_of(path) == "engine":
        return
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            assert not {alias.name.split(".")[0] for alias in node.names} & RASTERISERS
        if isinstance(node, ast.ImportFrom) and node.module:
            assert node.module.split(".")[0] not in RASTERISERS


@pytest.mark.parametrize("path", MODULES, ids=ids)
def test_only_the_command_prints(path: Path) -> None:
    """`print` and `click.echo` are called in cli alone."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            assert name not in {"print", "echo", "secho"} or room_of(path) == "cli", f"{ids(path)}:{node.lineno} prints"


@pytest.mark.parametrize("path", MODULES, ids=ids)
def test_only_the_store_touches_files(path: Path) -> None:
    """Calls that open, read, write, make or remove files stand in store (and fonts, run) alone."""
    if room_of(path) in READS_FILES:
        return
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Call):
            if isinstance(node.func, ast.Name):
                assert node.func.id != "open", f"{ids(path)}:{node.lineno} opens a file"
            elif isinstance(node.func, ast.Attribute) and node.func.attr in FILE_CALLS - {"open", "replace"}:
                raise AssertionError(f"{ids(path)}:{node.lineno} touches a file by {node.func.attr}")


@pytest.mark.parametrize("path", [*sorted((PACKAGE / "model").glob("*.py")), PACKAGE / "geometry.py"], ids=ids)
def test_values_that_travel_are_frozen(path: Path) -> None:
    """Every record of the model is a frozen dataclass with slots; those of the model are keyword-only."""
    for node in ast.walk(tree_of(path)):
        if not isinstance(node, ast.ClassDef):
            continue
        calls = [item for item in node.decorator_list if isinstance(item, ast.Call)]
        flags = {keyword.arg for call in calls for keyword in call.keywords if getattr(keyword.value, "value", False) is True}
        assert {"frozen", "slots"} <= flags, f"{node.name} is not frozen"
        assert "kw_only" in flags or path.name == "geometry.py", f"{node.name} takes positional fields"


@pytest.mark.parametrize(("shelf", "needs"), [("outputs", {"KIND", "make"}), ("checks", {"SLUGS", "check"})])
def test_a_shelf_holds_one_thing_per_file(shelf: str, needs: set[str]) -> None:
    """Each module on a shelf offers the shelf's names; helpers begin with an underscore."""
    modules = [path for path in (PACKAGE / shelf).glob("*.py") if not path.name.startswith("_")]
    modules = [path for path in modules if path.stem not in {"picture", "shelf", "reduce"}]  # what the outputs share
    assert modules, f"{shelf} is empty"
    for path in modules:
        names = set()
        for node in tree_of(path).body:
            if isinstance(node, ast.FunctionDef):
                names.add(node.name)
            elif isinstance(node, ast.Assign):
                names |= {target.id for target in node.targets if isinstance(target, ast.Name)}
            elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                names.add(node.target.id)
        assert needs <= names, f"{ids(path)} lacks {needs - names}"


def test_the_top_level_holds_what_the_card_says() -> None:
    """Nothing else lies at the top of the tree than what was agreed, dotfiles apart."""
    import subprocess

    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout")
    tops = {name.split("/")[0] for name in listed.stdout.splitlines()}
    assert {top for top in tops if not top.startswith(".")} <= CARD
