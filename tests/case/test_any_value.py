"""Law: whatever value stands anywhere in a case, it is refused in sentences or the equipment takes it."""

import copy
import json
from pathlib import Path

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tidalbay.case import CaseErrors, read_case, resolve
from tidalbay.case.source import source_from_text
from tidalbay.case.yaml_tree import tree_from_source
from tidalbay.equipment import equipment_from_setup

GOOD = (Path(__file__).parent / "data" / "good.yaml").read_text(encoding="utf-8")
SAID = tree_from_source(source_from_text(GOOD, "good.yaml")).value


def places(value, path=()):
    """Every place in a value, as a path."""
    if path:
        yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, item in items:
        yield from places(item, (*path, name))


PLACES = list(places(SAID))
VALUES = [
    None,
    3,
    -1,
    2.5,
    "",
    " ",
    "x",
    "a b",
    [],
    {},
    [1],
    {"a": 1},
    True,
    "2:30",
    "9" * 400,
    1e300,
    [[]],
    [{}],
]
VALUES += ["none", "cylinder", "cannula", "wall_flowmeter", "non_rebreathing_mask", "nasal_cannula", "é"]


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(PLACES), st.sampled_from(VALUES))
@example(("paths", "tempting", 0, "device"), [])
@example(("setup", "supplies", 0, "flowmeter"), None)
@example(("setup", "devices", 0, "id"), None)
def test_any_value_anywhere_is_refused_in_sentences_or_taken_by_the_equipment(place, value):
    said = copy.deepcopy(SAID)
    around = said
    for step in place[:-1]:
        around = around[step]
    around[place[-1]] = value

    try:
        case = read_case(json.dumps(said), "case.yaml")
    except CaseErrors as refused:
        page = str(refused)
    else:
        page = "; ".join(equipment_from_setup(resolve(case)["setup"]).describe()) + " Nothing was loaded."

    assert page.endswith("Nothing was loaded.")
    assert "cannot be read here" not in page
