"""Each thing that the tool must have names its act, drawing, case, criterion and test; each name is there."""

import re
from itertools import chain
from pathlib import Path

import pytest
from ruamel.yaml import YAML

import tidalbay
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.drugs import preparations
from tidalbay.catalogue.patients import presets
from tidalbay.catalogue.skin_sites import skin_sites

CHECKOUT = Path(__file__).parent.parent.parent
SOURCES = CHECKOUT / "src" / "tidalbay"
DRAW = SOURCES / "web" / "static" / "draw"
READ = YAML(typ="safe", pure=True)
SUPPLIES = ("wall_oxygen", "wall_air", "cylinder", "concentrator", "large_concentrator")


def rows():
    """The cells of every row of the tables, in the order of their heads."""
    for line in (CHECKOUT / "docs" / "things.md").read_text("utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if line.startswith("|") and cells[0] != "thing" and not set(line) <= set("|- "):
            yield tuple(cells)


ROWS = list(rows())
IDS = [re.sub(r"\W+", " ", row[0]).strip()[:60] for row in ROWS]


def named(cell):
    return re.findall(r"`([^`]+)`", cell)


def left_out(cell):
    """Whether the table says that there is none, and why."""
    return bool(re.fullmatch(r"none: .{15,}", cell))


def read(*path):
    return READ.load(SOURCES.joinpath(*path).read_text("utf-8"))


@pytest.fixture(scope="module")
def criteria():
    """Every criterion as `procedure:step` and `case:criterion`."""
    steps = [
        f"{path.stem}:{step['id']}"
        for path in (SOURCES / "catalogue" / "procedures").glob("*.yaml")
        for step in READ.load(path)["steps"]
    ]
    own = [
        f"{name}:{criterion['id']}"
        for name, path in tidalbay.demonstrations().items()
        for criterion in READ.load(path)["check_off"].get("criteria", [])
    ]
    return {*steps, *own}


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_what_a_row_names_is_there(row, criteria):
    _, hands, drawn, _, criterion, test = row

    assert all(named(cell) or left_out(cell) for cell in row[1:])
    assert set(named(hands)) <= set(acts())
    assert all((DRAW / f"{name}.mjs").is_file() for name in named(drawn))
    assert set(named(criterion)) <= criteria
    file, _, function = named(test)[0].partition("::")
    assert re.search(rf"^def {function}\(", (CHECKOUT / file).read_text("utf-8"), re.MULTILINE)


@pytest.mark.parametrize("row", [row for row in ROWS if not left_out(row[3])], ids=str)
def test_a_row_is_seen_in_its_case(row):
    """In the path that it names one of its acts is done, or the fault that it names can be thrown."""
    thing, hands, _, case, _, _ = row
    if case.startswith("fault: "):
        assert named(case)[0] in {fault["id"] for fault in read("catalogue", "faults.yaml")["faults"]}
        return
    name, path = named(case)[0].split("/")
    whole = READ.load(tidalbay.demonstrations()[name])
    done = {act["act"] for act in whole["paths"][path]}
    stands = {each["kind"] for part in ("supplies", "devices") for each in whole["setup"].get(part, [])}
    stands.add(whole["patient"]["preset"])

    assert done & set(named(hands)) or stands & set(named(thing))
    kinds = {*device_kinds(), *SUPPLIES, *presets()} & set(named(thing))
    assert not kinds or kinds & stands, "the thing itself stands in the case"


def test_no_thing_of_the_catalogue_is_left_out():
    told = set(chain.from_iterable(named(row[0]) for row in ROWS))
    kept = {*device_kinds(), *SUPPLIES, *preparations(), *presets(), *skin_sites()}

    assert kept <= told, f"docs/things.md has no row for {', '.join(sorted(kept - told))}"


def test_every_drawing_is_drawn_by_something():
    text = "".join(path.read_text("utf-8") for path in (SOURCES / "web" / "static").rglob("*.mjs"))

    for name in {name for row in ROWS for name in named(row[2])}:
        assert re.search(rf"/{re.escape(name.rpartition('/')[2])}\.mjs\"", text), name
