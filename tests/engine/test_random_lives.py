"""Law: whatever is done to whomever, the kernel answers with finite numbers, in bounds, losing nothing.

Random patients under random equipment, breathing freely, to a pattern or not at all, with the airway
open or shut; `benchmarks/random_lives.py` lives ten thousand hours of the same.
"""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from tests.engine.random_lives import (
    breath_faults,
    clock_faults,
    generator,
    live,
    lived_through,
    random_patient,
    second_faults,
    state_faults,
)

import tidalbay.engine.layout as at
from tidalbay.catalogue.patients import patient_fields
from tidalbay.engine import BREATH_COLUMNS, SECOND_COLUMNS, Patient, settled
from tidalbay.engine.compiling import current
from tidalbay.engine.kernel import advance
from tidalbay.science.controls import Controls

pytestmark = pytest.mark.usefixtures("model")

SHORT_LIVES, SHORT_H = range(1000, 1160), 0.5
LONG_LIVES, LONG_H = range(2000, 2016), 5.0


def told(lives):
    return "\n".join(sentence for lived in lives for sentence in lived.violations)


def test_short_lives_of_many_patients_break_no_law():
    lives = [live(seed, SHORT_H) for seed in SHORT_LIVES]

    assert told(lives) == ""
    assert sum(lived.hours for lived in lives) >= 0.999 * SHORT_H * len(SHORT_LIVES)
    assert sum(lived.stretches for lived in lives) > 5 * len(SHORT_LIVES)


def test_long_lives_of_few_patients_break_no_law():
    lives = [live(seed, LONG_H) for seed in LONG_LIVES]

    assert told(lives) == ""
    assert sum(lived.hours for lived in lives) >= 0.999 * LONG_H * len(LONG_LIVES)


def test_a_life_is_its_seed_alone_or_beside_others():
    alone = [live(seed, 0.3).digest for seed in range(3000, 3008)]
    with ThreadPoolExecutor(4) as pool:
        together = [lived.digest for lived in pool.map(lambda seed: live(seed, 0.3), range(3000, 3008))]

    assert together == alone
    assert len(set(alone)) == len(alone)


def test_a_life_without_the_compiler_is_the_same_life(monkeypatch):
    quick = live(3000, 0.01).digest

    monkeypatch.setattr("tidalbay.engine.compiling.current", lambda: advance)

    assert live(3000, 0.01).digest == quick


def test_most_random_patients_breathe_by_themselves_and_none_is_like_another():
    people = [random_patient(generator(seed)) for seed in range(60)]
    settled_by_themselves = sum(not live(seed, 0.01).unsettled for seed in range(60))

    assert settled_by_themselves >= 40
    assert len(set(people)) > 55
    ages = [person.age_years for person in people]
    assert min(ages) < 1.0
    assert max(ages) > 80.0


def test_random_patients_stay_within_the_ranges_of_the_catalogue():
    ranges = patient_fields()

    for seed in range(200):
        for name, value in random_patient(generator(seed))._asdict().items():
            if name in ranges:
                assert ranges[name].low <= value <= ranges[name].high, (seed, name, value)


# --- the laws can be broken, and say so -----------------------------------------------------------


@pytest.fixture
def resting():
    run = settled(Patient(), Controls(), 1)
    run.advance_to(30.0, Controls())
    return run


BROKEN = {
    "a gas of more than everything": (at.NOSE + at.O2, 1.2, "a gas holds a share"),
    "a label of less than nothing": (at.FACE + at.MASK, -0.1, "a gas holds a share"),
    "labels of more than everything": (at.PHARYNX + at.SUPPLIED, 0.9, "labels of origin"),
    "a parcel of less than nothing": (at.PARCELS, -1.0, "the windpipe's line"),
    "a unit that owes oxygen": (at.UNITS + at.UNIT_O2_ML, -1.0, "unit 0 holds"),
    "a bag without its mask": (at.BAG_ML, 10.0, "BAG_ML"),
    "blood that owes oxygen": (at.VENOUS_O2, -0.01, "VENOUS_O2"),
}


@pytest.mark.parametrize("what", BROKEN)
def test_a_state_that_cannot_be_is_told(resting, what):
    place, value, words = BROKEN[what]
    if what == "labels of more than everything":
        resting.state[at.PHARYNX + at.ROOM] = 0.9
    if what == "a parcel of less than nothing":
        place += int(resting.state[at.LINE_HEAD]) * at.PARCEL_SIZE
    resting.state[place] = value

    faults = state_faults(resting.state, Controls(), 760.0)

    assert any(words in fault for fault in faults), faults


def test_rows_that_cannot_be_are_told(resting):
    seconds, breaths = np.vstack(resting.seconds), np.vstack(resting.breaths)
    assert second_faults(seconds) == breath_faults(breaths) == clock_faults(seconds, 0.0, resting.state) == []

    unknown, late, torn = seconds.copy(), seconds.copy(), breaths.copy()
    unknown[3, SECOND_COLUMNS.index("ph")] = np.nan
    late[7:, 0] += 1.0
    torn[2, BREATH_COLUMNS.index("room_ml")] -= 5.0

    assert second_faults(unknown) == ["ph is not finite"]
    assert len(clock_faults(late, 0.0, resting.state)) == 1
    assert any("add up" in fault for fault in breath_faults(torn))


def test_gas_that_appears_from_nowhere_is_told(resting, monkeypatch):
    real = current()

    def leaking(state, *more):
        rows = real(state, *more)
        state[at.UNITS + at.UNIT_O2_ML] += 1e-3
        return rows

    monkeypatch.setattr("tidalbay.engine.compiling.current", lambda: leaking)

    faults = lived_through(resting, Controls(), 60.0, 760.0, generator(1))

    assert any("oxygen is out by" in fault for fault in faults), faults
