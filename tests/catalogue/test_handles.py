"""Contract of the handles: what a learner's hands may do can be reached, and nothing else is offered."""

import copy

import pytest

from tidalbay.catalogue import handles as module
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.handles import handles_plain
from tidalbay.catalogue.yaml_rows import mapping


def reached():
    on_plate = {row["act"] for handle in handles_plain()["on_plate"] for row in handle["acts"]}
    return on_plate | {act for group in handles_plain()["beside"] for act in group["acts"]}


def test_every_act_of_a_learners_hands_is_within_reach():
    """The trolley offers devices, the chart is a form, time has controls of its own."""
    of_their_own = {"device_chosen", "charted"}
    for kind in acts().values():
        if "learner" in kind.by and kind.group != "time":
            assert kind.id in reached() | of_their_own, kind.id


def test_nothing_is_offered_that_a_learner_may_not_do():
    assert all("learner" in acts()[act].by for act in reached())


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"act": "prongs_bent"}, "names no act of the catalogue: prongs_bent"),
        ({"act": "examined", "what": "socks"}, "examined"),
        ({"act": "strap_set", "when": "sold"}, "write one of held, worn"),
        ({"act": "strap_set", "family": "hat"}, "families are bag"),
    ],
)
def test_a_row_that_means_nothing_is_refused(change, sentence):
    content = copy.deepcopy(dict(mapping("handles.yaml")))
    content["on_plate"][0]["acts"] = [change]

    faults = list(module._faults(content))

    assert len(faults) == 1
    assert sentence in faults[0] or change["act"] in sentence
