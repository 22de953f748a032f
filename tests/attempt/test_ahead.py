"""Looking at a breath before it has passed: it is the breath that comes, and looking changes no digit."""

import math

import pytest

import tidalbay
from tidalbay.attempt import Attempt, plan_from
from tidalbay.equipment import ActRefused
from tidalbay.trace import Entry, Log

CASES = sorted(tidalbay.demonstrations())


def attempt_at(case="post-operative", seed=5):
    first = tidalbay.play(tidalbay.load_case(case), [], seed=seed).log.entries[0]
    return Attempt.start(plan_from(first), Log([first]))


def act(attempt, t_ms, kind, on=None, **values):
    attempt.act(Entry(n=attempt.log.next_n, t_ms=t_ms, kind=kind, by="a", hands="a", on=on, values=values))


@pytest.mark.parametrize("case", CASES)
def test_an_attempt_that_was_looked_ahead_of_gives_the_same_digits(case, model):
    looked, plain = (tidalbay.play(tidalbay.load_case(case), seed=2) for _ in range(2))
    for second in range(1, 180):
        looked.run_to(second)
        looked.attempt.coming()
        looked.attempt.window(60.0)
    plain.run_to(179)

    assert looked.trace() == plain.trace()
    assert looked.trace().digest() == plain.trace().digest()


@pytest.mark.parametrize("case", CASES)
def test_what_was_seen_ahead_is_what_comes(case, model):
    attempt = attempt_at(case)
    for _ in range(20):
        coming = attempt.coming()
        attempt.run_to(math.floor(1000.0 * coming.ends_s) / 1000.0)

        assert attempt.run.time_s == coming.ends_s
        row = {name: float(column[-1]) for name, column in attempt.trace().breaths.items()}
        assert row["start_s"] + row["duration_s"] == pytest.approx(coming.ends_s, abs=1e-9)
        assert max(coming.chest_ml) == pytest.approx(row["tidal_ml"])
        assert coming.chest_ml[-1] == pytest.approx(0.0, abs=0.01 * row["tidal_ml"])
        assert row["inspiratory_s"] == pytest.approx(coming.breathing_in_s, abs=0.06)


def test_a_change_within_a_breath_keeps_what_was_seen_of_it(model):
    attempt = attempt_at()
    act(attempt, 1_000, "tubing_connected", **{"from": "flowmeter", "to": "reservoir_mask"})
    act(attempt, 1_001, "flow_set", on="flowmeter", flow_lpm=15)
    act(attempt, 1_002, "bag_filled", on="reservoir_mask")
    act(attempt, 1_003, "device_placed", on="reservoir_mask")
    attempt.run_to(30.0)
    attempt.run_to(math.floor(1000.0 * attempt.coming().ends_s) / 1000.0)
    before = attempt.coming()
    act(attempt, round(1000.0 * before.from_s) + 900, "flow_set", on="flowmeter", flow_lpm=0)
    after = attempt.coming(before)

    seen = [i for i, t_s in enumerate(before.time_s) if t_s < attempt.run.time_s]
    assert after.n == before.n
    assert seen
    assert [after.bag_ml[i] for i in seen] == [before.bag_ml[i] for i in seen]
    assert after.chest_ml == pytest.approx(before.chest_ml)
    assert after.bag_ml[-1] < before.bag_ml[-1]


def test_in_apnoea_the_chest_is_still_and_a_breath_is_at_most_a_second(model):
    attempt = attempt_at()
    attempt.body = attempt.body.struck("apnoea", 1.0, 0.0)
    attempt.run_to(20.0)
    coming = attempt.coming()

    assert set(coming.chest_ml) == {0.0}
    assert 0.0 < coming.ends_s - coming.from_s <= 1.0
    assert coming.breathing_in_s == 0.0


def test_volumes_come_in_equal_steps_to_the_end_of_the_breath(model):
    coming = attempt_at().coming()
    every = coming.chest_every(0.1)

    assert len(every) == math.ceil((coming.ends_s - coming.from_s) / 0.1 - 1e-6) + 1
    assert every[0] == coming.chest_ml[0]
    assert every[-1] == pytest.approx(coming.chest_ml[-1])
    assert max(every) <= max(coming.chest_ml)


@pytest.mark.parametrize("case", ["post-operative", "asthma-attack"])
def test_a_window_holds_the_last_rows_of_the_trace_and_nothing_else(case, model):
    playing = tidalbay.play(tidalbay.load_case(case), seed=4)
    for half in range(1, 700):  # many small pieces, so that they are laid together on the way
        playing.run_to(half / 2.0)
    whole, window = playing.trace(), playing.attempt.window(100.0)

    last = slice(-window.seconds.rows, None)
    assert window.seconds.rows in (100, 101)
    for name in window.seconds:
        if name not in ("wearing", "bag_full_pct"):
            kept = whole.seconds[name][last]
            assert window.seconds[name].tobytes() == kept.tobytes(), name
    for name in window.breaths:
        assert window.breaths[name].tobytes() == whole.breaths[name][-window.breaths.rows :].tobytes()


def test_a_window_longer_than_the_attempt_is_all_of_it(model):
    attempt = attempt_at()
    attempt.run_to(10.0)

    assert attempt.window(500.0).seconds["t_s"].tolist() == attempt.trace().seconds["t_s"].tolist()


def test_an_act_that_is_only_checked_changes_nothing(model):
    attempt, other = attempt_at(), attempt_at()
    entry = Entry(n=2, t_ms=5_000, kind="flow_set", by="a", hands="a", on="flowmeter", values={"flow_lpm": 4})
    attempt.check(entry)

    assert len(attempt.log) == 1
    attempt.run_to(60.0)
    other.run_to(60.0)
    assert attempt.trace() == other.trace()


def test_an_act_that_hands_cannot_do_is_refused_when_it_is_checked(model):
    attempt = attempt_at()
    entry = Entry(
        n=2, t_ms=5_000, kind="flow_set", by="a", hands="a", on="flowmeter", values={"flow_lpm": 40}
    )

    with pytest.raises(ActRefused):
        attempt.check(entry)


def thrown(cause, strikes, on=None, **values):
    said = {"cause": cause, "strikes": strikes, "time_constant_s": 0, **values}
    return {"kind": "cause_thrown", "on": on, **said}


def test_a_cause_thrown_by_hand_strikes_as_a_case_s_own_would(model):
    attempt = attempt_at()
    act(attempt, 1_000, **thrown("tube_kinked", "equipment", on="cannula_tubing"))
    assert attempt.equipment.tube("cannula_tubing").kinked

    act(attempt, 2_000, **thrown("tube_kinked", "equipment", on="cannula_tubing", gone=True))
    assert not attempt.equipment.tube("cannula_tubing").kinked

    act(attempt, 3_000, **thrown("pain", "patient", value=9))
    act(attempt, 3_001, **thrown("posture", "patient", value="flat"))
    assert (attempt.body.now.pain, attempt.body.posture) == (9.0, "flat")


def test_a_cause_thrown_by_hand_can_be_taken_back_and_is_replayed(model):
    attempt = attempt_at()
    act(attempt, 1_000, **thrown("tube_kinked", "equipment", on="cannula_tubing"))
    act(attempt, 30_000, **thrown("shunt_frac", "patient", value=0.4))
    act(attempt, 60_000, "taken_back", entry=2)
    attempt.run_to(120.0)
    again = tidalbay.replay(Log(attempt.log.entries), 120.0)

    assert not attempt.equipment.tube("cannula_tubing").kinked
    assert again.trace() == attempt.trace()


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (thrown("nonsense", "equipment"), "There is no cause 'nonsense'"),
        (thrown("pain", "patient", value="bad"), "pain of the patient is a number; it says 'bad'."),
        (thrown("pain", "patient"), "pain of the patient is a number; it says True."),
        (thrown("posture", "patient", value="upside_down"), "A posture is flat, side,"),
    ],
)
def test_a_cause_that_cannot_strike_is_refused_in_a_sentence(said, sentence, model):
    attempt = attempt_at()

    with pytest.raises(ActRefused) as refused:
        act(attempt, 1_000, **said)

    assert str(refused.value).startswith(sentence)
    assert len(attempt.log) == 1
