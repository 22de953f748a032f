"""An infant has no words and a tracheostomy no voice; a child's usual rate is no sign of illness."""

import numpy as np
import pytest

import tidalbay
from tidalbay.bedside import findings, findings_at, voice_of
from tidalbay.bedside.looks import looks_at
from tidalbay.case import resolve
from tidalbay.catalogue.findings import finding_ladders, voices
from tidalbay.trace import Trace

SPOKEN = ("speaks", "says nothing", "answers at once", "“I")


def words_of(case_id, path="good", minutes=3.0):
    case = tidalbay.load_case(case_id)
    resolved = resolve(case)
    trace = tidalbay.simulate(case, path, minutes=minutes)
    patient = {**resolved["patient"]["numbers"], "voice": voice_of(resolved)}
    return {found.what: found.words for found in findings_at(trace, 60.0 * minutes, patient)}


@pytest.mark.parametrize(
    ("case_id", "voice"),
    [("infant-bronchiolitis", "infant"), ("tracheostomy-plug", "tracheostomy"), ("wheezing-child", "")],
)
def test_who_cannot_say_it_is_told_by_the_case(case_id, voice):
    assert voice_of(resolve(tidalbay.load_case(case_id))) == voice


@pytest.mark.parametrize("case_id", ["infant-bronchiolitis", "tracheostomy-plug"])
def test_nobody_without_a_voice_is_told_to_speak(model, case_id):
    words = words_of(case_id)

    assert words.keys() >= {"says", "speech"}
    for what in ("says", "speech"):
        assert not any(spoken in words[what] for spoken in SPOKEN), words[what]


def test_every_rung_of_what_is_said_has_words_for_each_who_cannot_say_it():
    for what in ("speech", "says"):
        for rung in finding_ladders()[what].rungs:
            assert set(rung.otherwise) == set(voices()), (what, rung.id)


@pytest.mark.parametrize(
    ("age_years", "rate_per_min", "heart_rate_per_min"),
    # Medians of healthy children: Fleming 2011, Lancet 377:1011-8 (44 and 127 at birth, 26 and 113 at two
    # years seen, the others from memory).
    [(0.02, 44.0, 127.0), (0.5, 40.0, 136.0), (2.0, 26.0, 113.0), (7.0, 21.0, 91.0)],
)
def test_a_rate_that_is_usual_at_the_age_is_quiet_breathing(age_years, rate_per_min, heart_rate_per_min):
    trace = tidalbay.simulate(tidalbay.load_case("post-operative"), "good", minutes=1.5)
    own = {"rate_per_min": rate_per_min, "heart_rate_per_min": heart_rate_per_min}
    seconds = dict(trace.seconds) | {name: np.full(trace.seconds.rows, value) for name, value in own.items()}
    well = {"age_years": age_years, "sex": "male", "height_cm": 60.0}

    looks = looks_at(Trace(seconds, dict(trace.breaths)), 80.0, well)
    looks |= {"effort_index_frac": 0.01, "drive_ratio": 1.0, "fatigue_frac": 0.0}
    looks |= {"temperature_degc": 36.8, "paco2_excess_mmhg": 0.0, "sao2_pct": 98.0}
    found = {each.what: each.rung for each in findings(looks)}

    assert (found["effort"], found["speech"], found["sweat"]) == ("quiet", "sentences", "dry")


def test_the_same_rate_is_hard_work_for_an_adult():
    found = {each.what: each.rung for each in findings({"t_s": 0.0, "still_s": 1.0, "rate_per_min": 40.0})}

    assert found["effort"] == "heaving"
