"""Contract: whatever is typed or put into a file, the answer is a sentence and the right exit code."""

import errno

import pytest

import tidalbay.cli.app as app
from tidalbay.cli.refusals import in_words

DEVICES = (
    "nasal_cannula, child_nasal_cannula, infant_nasal_cannula, high_flow_nasal_cannula, simple_mask, "
    "child_simple_mask, air_entrainment_mask, partial_rebreathing_mask, non_rebreathing_mask, "
    "child_non_rebreathing_mask, bag_valve_mask, bag_valve_mask_without_reservoir, tracheostomy_mask, "
    "nebuliser_mask, nebuliser_mouthpiece, nebuliser_t_piece, nebuliser_in_line, none"
)
SIZES = "D, E, G, H, M, UK-C, UK-D, UK-E, UK-F, UK-G, UK-J, CD, HX, ZX"
PRESETS = (
    "healthy_adult, healthy_woman, older_adult, healthy_child, healthy_infant, post_operative, pneumonia, "
    "copd_retainer, asthma, carbon_monoxide, obese_adult, opioid, anaemia, methaemoglobinaemia, "
    "altitude_visitor, mucus_plug, child_with_asthma, child_with_bronchiolitis"
)
ON_CANNULA = ("breath", "--device", "nasal_cannula", "--flow", "2")
FROM_E = ("cylinder", "--size", "E", "--pressure", "2000psi", "--flow", "4")

CALLED_WRONGLY = [
    (("breath",), f"breath needs --device. Allowed: {DEVICES}."),
    (
        ("breath", "--device", "canula", "--flow", "2"),
        f"--device is canula. Allowed: {DEVICES}. Did you mean nasal_cannula?",
    ),
    (
        ("breath", "--device", "nasal_cannula"),
        "breath needs --flow, in L/min; 0 is a device without gas.",
    ),
    ((*ON_CANNULA, "--flow", "-3"), "--flow is -3. Allowed: 0 to 15 L/min. 0 is nearest."),
    ((*ON_CANNULA, "--flow", "nan"), "--flow is nan, not a finite number. Allowed: 0 to 15 L/min."),
    ((*ON_CANNULA, "--flow", "inf"), "--flow is inf, not a finite number. Allowed: 0 to 15 L/min."),
    ((*ON_CANNULA, "--flow", "2,5"), "--flow is 2,5, not a number. Allowed: 0 to 15 L/min. Write 2.5."),
    (
        (*ON_CANNULA, "--flow", "2 L/min"),
        "--flow is 2 L/min, not a number. Allowed: 0 to 15 L/min. Leave the unit out.",
    ),
    ((*ON_CANNULA, "--flow", "two"), "--flow is two, not a number. Allowed: 0 to 15 L/min."),
    (
        (*ON_CANNULA, "--flow", "40"),
        "--flow is 40 L/min, and the flowmeter of a nasal cannula ends at 15. Allowed: 0 to 15 L/min.",
    ),
    (
        (*ON_CANNULA, "--flow", "1e300"),
        "--flow is 1e+300 L/min, and the flowmeter of a nasal cannula ends at 15. Allowed: 0 to 15 L/min.",
    ),
    (
        ("breath", "--device", "none", "--flow", "3"),
        "A flow needs a device. With the device none, leave --flow out.",
    ),
    (
        (*ON_CANNULA, "--rate", "200"),
        "--rate is 200. Allowed: 3 to 120 breaths a minute. 120 is nearest.",
    ),
    ((*ON_CANNULA, "--tidal", "1"), "--tidal is 1. Allowed: 2 to 3000 mL. 2 is nearest."),
    (
        (*ON_CANNULA, "--pause", "3.9"),
        "--pause is 3.9 s of a breath that takes 4 s and leaves no time to breathe. "
        "Allowed at this rate: 0 to 2.4 s.",
    ),
    (
        (*ON_CANNULA, "--inspiratory-share", "0.95"),
        "--inspiratory-share is 0.95. Allowed: 0.1 to 0.8 of the breath. 0.8 is nearest.",
    ),
    ((*ON_CANNULA, "--mouth", "2"), "--mouth is 2. Allowed: 0 to 1. 1 is nearest."),
    ((*ON_CANNULA, "--fit", "1"), "A nasal cannula has no edge; leave --fit out."),
    ((*ON_CANNULA, "--valves", "1"), "A nasal cannula has no valves over its ports; leave --valves out."),
    ((*ON_CANNULA, "--setting", "28"), "A nasal cannula has no entrainment valve; leave --setting out."),
    ((*ON_CANNULA, "--fio2", "0.4"), "A nasal cannula has no blender; leave --fio2 out."),
    (
        (*ON_CANNULA, "--set-flow", "40"),
        "A nasal cannula has no set that it is fitted into; leave --set-flow out.",
    ),
    ((*ON_CANNULA, "--gas", "neon"), "--gas is neon. Allowed: oxygen, air."),
    (
        ("breath", "--device", "nebuliser_t_piece", "--flow", "8", "--fit", "0.5"),
        "A nebuliser T-piece has no edge; leave --fit out.",
    ),
    ((*ON_CANNULA, "--altitude", "9000"), "--altitude is 9000. Allowed: -500 to 6000 m. 6000 is nearest."),
    ((*ON_CANNULA, "--patient", "alien"), f"--patient is alien. Allowed: {PRESETS}."),
    (
        ("breath", "--device", "air_entrainment_mask", "--flow", "4", "--setting", "27"),
        "--setting is 27, and there is no such valve. Allowed: 24, 28, 31, 35, 40, 50, 60 %.",
    ),
    (
        ("breath", "--device", "non_rebreathing_mask", "--flow", "10", "--valves", "1.5"),
        "--valves is 1.5, not a whole number. Allowed: 0 to 2.",
    ),
    (
        ("breath", "--device", "high_flow_nasal_cannula", "--flow", "40", "--fio2", "40"),
        "--fio2 is 40. It is a share, so write 0.4 for 40 %.",
    ),
    (("cylinder",), f"cylinder needs --size. Allowed: {SIZES}."),
    (
        ("cylinder", "--size", "E"),
        "cylinder needs --pressure, what the gauge shows with its unit: 2000psi, 137bar.",
    ),
    (("cylinder", "--size", "E", "--pressure", "2000psi"), "cylinder needs --flow, in L/min."),
    ((*FROM_E, "--size", "Q"), f"--size is Q. Allowed: {SIZES}."),
    (
        (*FROM_E, "--pressure", "2000"),
        "--pressure is 2000. It is a number and its unit, psi, bar or kPa: 2000psi, for one.",
    ),
    (
        (*FROM_E, "--pressure", "nan psi"),
        "--pressure is nan psi. It is a number and its unit, psi, bar or kPa: 2000psi, for one.",
    ),
    (
        (*FROM_E, "--pressure", "-5psi"),
        "--pressure is -5psi. Allowed: 0 to 350 bar, 5076 psi or 35000 kPa.",
    ),
    ((*FROM_E, "--flow", "0"), "--flow is 0. Allowed: 0.1 to 100 L/min. 0.1 is nearest."),
    ((*FROM_E, "--flow", "-4"), "--flow is -4. Allowed: 0.1 to 100 L/min. 0.1 is nearest."),
    (
        (*FROM_E, "--reserve", "20"),
        "--reserve is 20. It is a number and its unit, psi, bar or kPa: 2000psi, for one.",
    ),
    (("run", "--minutes", "nan"), "--minutes is nan, not a finite number. Allowed: 0.1 to 720 minutes."),
    (("run", "--minutes", "1000"), "--minutes is 1000. Allowed: 0.1 to 720 minutes. 720 is nearest."),
    (("run", "--seed", "-1"), "--seed is -1. Allowed: 0 to 4294967295. 0 is nearest."),
    (("run", "--seed", "1.5"), "--seed is 1.5, not a whole number. Allowed: 0 to 4294967295."),
    (
        ("run", "--pace", "slow"),
        "--pace is slow, not a number. Allowed: 0.1 to 100000 times, or fast, or real.",
    ),
    (
        ("run", "--out", "trace.txt"),
        "--out is trace.txt. Its name ends in .csv or .json, which says the form.",
    ),
    (
        ("run", "--out", "nowhere/trace.csv"),
        "--out is nowhere/trace.csv, but there is no folder nowhere. Make it first.",
    ),
    (("run", "--log", "."), "--log is ., which is a folder. Name a file in it."),
    (("run", "--out", "a\0b.csv"), "--out is no name that a file can have."),
    (
        ("run", "--acts", "same.json", "--out", "same.json"),
        "--acts and --out are the same file, same.json. Name two.",
    ),
    (
        ("run", "--acts", "god"),
        "--acts is god, and there is neither a path nor a file of that name. The paths of post-operative: "
        "good and tempting; or none, for nobody doing anything. Did you mean good?",
    ),
    (("check",), "check needs at least one case file: tidalbay check my-case.yaml"),
    (("rum",), "No such command 'rum'. Did you mean 'run'? What it takes: tidalbay --help"),
    (
        ("run", "--mintes", "3"),
        "No such option: --mintes. Did you mean --minutes? What it takes: tidalbay run --help",
    ),
]


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.argv", ["tidalbay"])


@pytest.mark.parametrize(
    ("words", "sentence"), CALLED_WRONGLY, ids=[" ".join(words)[:60] for words, _ in CALLED_WRONGLY]
)
def test_a_wrong_call_is_answered_in_a_sentence_and_ends_with_2(say, words, sentence):
    said = say(*words)

    assert (said.code, said.out, said.sentence) == (2, "", sentence)


UNREADABLE = {
    "ten-megabytes.yaml": (
        b"title: " + b"x" * 10_000_000,
        "ten-megabytes.yaml  the file is larger than 1 MB\n  hint:    a case is a few kilobytes of text\n",
    ),
    "latin.yaml": (
        "title: café\n".encode("latin-1"),
        "latin.yaml  the file is not UTF-8 text: byte 11, in line 1, fits no letter\n"
        "  hint:    save it again as UTF-8\n",
    ),
    "binary.yaml": (
        bytes(range(256)) * 8,
        "binary.yaml  the file is not UTF-8 text: byte 129, in line 2, fits no letter\n"
        "  hint:    save it again as UTF-8\n",
    ),
    "empty.yaml": (b"", "empty.yaml  the file is empty\n  hint:    a case begins with schema: 1\n"),
    "missing.yaml": (None, "missing.yaml  there is no such file\n"),
    "deep.yaml": (
        b"a: " + b"[" * 3000 + b"]" * 3000,
        "deep.yaml:1:43  the file is nested deeper than 40 levels\n"
        "    1 | a: " + "[" * 107 + "\n      | " + " " * 42 + "^\n  hint:    a case needs about six\n",
    ),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_a_file_that_is_no_case_is_told_and_ends_with_1(say, tmp_path, name):
    data, page = UNREADABLE[name]
    if data is not None:
        (tmp_path / name).write_bytes(data)

    checked, played = say("check", name), say("run", name)

    assert (checked.code, checked.out, checked.err) == (1, f"{page}\n1 error.\n", "")
    assert (played.code, played.out, played.err) == (1, "", f"{page}\n1 error. Nothing was loaded.\n")


def test_a_folder_is_not_taken_for_a_case(say, tmp_path):
    (tmp_path / "cases").mkdir()

    said = say("check", "cases")

    assert (said.code, said.out) == (
        1,
        "cases  this is a folder, not a file\n"
        "  hint:    name the case file itself, or its files one by one\n\n1 error.\n",
    )


def test_a_file_of_acts_is_told_all_its_errors_with_their_lines(say, tmp_path):
    (tmp_path / "acts.yaml").write_text(
        '- {at: "0:30", act: flow_sett, flow_lpm: 2}\n- {at: "1:00", act: flow_set, flow_lpm: 40}\n',
        encoding="utf-8",
    )

    said = say("run", "--acts", "acts.yaml")

    assert (said.code, said.out, said.err) == (
        1,
        "",
        "acts.yaml:1:21  there is no act flow_sett\n"
        '    1 | - {at: "0:30", act: flow_sett, flow_lpm: 2}\n'
        "      |                     ^^^^^^^^^\n"
        "  hint:    did you mean flow_set?\n\n"
        "acts.yaml:2:41  flow_lpm is 40 and the scale of flowmeter ends at 15 L/min\n"
        '    1 | - {at: "0:30", act: flow_sett, flow_lpm: 2}\n'
        '    2 | - {at: "1:00", act: flow_set, flow_lpm: 40}\n'
        "      |                                         ^^\n"
        "  allowed: 0 to 15 L/min\n"
        "  hint:    a flowmeter with a larger max_lpm goes further\n\n"
        "2 errors. Nothing was loaded.\n",
    )


def test_a_log_that_is_none_is_told(say, tmp_path):
    (tmp_path / "attempt.jsonl").write_text('{"kind": "flow_set"}\n', encoding="utf-8")

    said = say("run", "--acts", "attempt.jsonl")

    assert (said.code, said.sentence) == (
        1,
        "attempt.jsonl:1 the line has no kind and version, so it is not an entry of a log.",
    )


def test_an_error_of_the_programs_own_is_owned_up_to(say, monkeypatch):
    monkeypatch.setattr(app, "result", lambda text: {}["a name"])

    said = say("--version")

    assert (said.code, said.sentence) == (
        1,
        "Tidalbay itself made a mistake (KeyError: 'a name'). It is none of yours. Please report it; "
        "with TIDALBAY_TRACEBACK=1 set, the whole of it is shown.",
    )


def test_it_is_shown_in_full_to_those_who_ask(say, monkeypatch):
    monkeypatch.setattr(app, "result", lambda text: {}["a name"])
    monkeypatch.setenv("TIDALBAY_TRACEBACK", "1")

    with pytest.raises(KeyError):
        say("--version")


def test_too_little_memory_is_told(say, monkeypatch):
    def too_much(text):
        raise MemoryError

    monkeypatch.setattr(app, "result", too_much)

    said = say("--version")

    assert (said.code, said.sentence) == (
        1,
        "There is not enough memory for this. Ask for fewer minutes, or close other programs.",
    )


@pytest.mark.parametrize(
    ("number", "sentence"),
    [
        (errno.ENOSPC, "x.csv: the disk is full, and not everything was written. Make room and try again."),
        (errno.EACCES, "x.csv: this place may not be written to or read. Name another one."),
        (errno.EIO, "x.csv: input/output error."),
    ],
)
def test_what_the_system_refuses_is_said_in_words(number, sentence):
    import os

    assert in_words(OSError(number, os.strerror(number), "x.csv")) == sentence
