"""Believable: a checker's list for both paths of each demonstration, filled in by hand before judging."""

from pathlib import Path

import pytest
from ruamel.yaml import YAML

import tidalbay
from tidalbay.judge import judge_attempt

LISTS = YAML(typ="safe", pure=True).load(Path(__file__).with_name("hand_lists.yaml"))
NAMES = {"met": "met", "not_met": "not_met", "open": "cannot_be_judged"}


@pytest.mark.parametrize("name", LISTS)
def test_the_record_judges_as_the_checkers_list_does(model, name):
    case_id, path = name.split("/")
    playing = tidalbay.play(tidalbay.load_case(case_id), path)
    playing.run_to(60.0 * playing.minutes)
    playing.end()

    judged = judge_attempt(playing.log, playing.trace())

    by_hand = {criterion: NAMES[verdict] for verdict, ids in LISTS[name].items() for criterion in ids}
    found = {verdict.criterion: verdict.verdict for verdict in judged.verdicts}
    assert found == by_hand


@pytest.mark.parametrize("case_id", sorted({name.split("/")[0] for name in LISTS}))
def test_the_good_path_misses_nothing_and_the_tempting_one_misses_a_must(model, case_id):
    missed = {}
    for path in ("good", "tempting"):
        playing = tidalbay.play(tidalbay.load_case(case_id), path)
        playing.run_to(60.0 * playing.minutes)
        playing.end()
        missed[path] = judge_attempt(playing.log, playing.trace()).outcome.musts_missed

    assert missed["good"] == ()
    assert missed["tempting"]
