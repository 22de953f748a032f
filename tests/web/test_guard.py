"""Contract: what is malformed, too much, repeated or from elsewhere gets a sentence and disturbs nothing."""

import json
import string

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.web.open_lab import FLOW, closing, heard
from websockets.exceptions import InvalidStatus

from tidalbay.web.guard import Bucket, Hosts, Rates
from tidalbay.web.guard.guard import HEADERS, MOST_BYTES

JSON = {"content-type": "application/json"}


@pytest.fixture(scope="module")
def checker(open_lab):
    open_lab.begin(go=True)
    with open_lab.joined("checker") as client:
        yield client


# -- from elsewhere -------------------------------------------------------------------------


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": ""},
        {"origin": "http://127.0.0.1:1"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "none"},
    ],
)
def test_a_post_from_another_page_is_refused(open_lab, checker, headers):
    before = len(open_lab.entries())

    answer = checker.post("/stations/s1/acts", json={"acts": [FLOW]}, headers=headers)

    assert answer.status_code == 403
    assert "not Tidalbay's" in answer.json()["sentence"]
    assert len(open_lab.entries()) == before


def test_where_browsers_say_where_from_that_decides(checker):
    answer = checker.post(
        "/stations/s1/acts",
        json={"acts": [FLOW]},
        headers={"sec-fetch-site": "same-origin", "origin": "http://127.0.0.1:1"},
    )

    assert answer.status_code == 200


@pytest.mark.parametrize("origin", ["http://evil.example", "http://127.0.0.1:1", "null"])
def test_a_socket_from_another_page_is_refused(open_lab, checker, origin):
    with pytest.raises(InvalidStatus) as refused, open_lab.listen(checker, headers={"origin": origin}):
        pass

    assert refused.value.response.status_code == 403


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:8750", "127.0.0.1.evil.example", "127.0.0.1:x"]
)
def test_another_name_for_this_server_is_refused(open_lab, checker, host):
    answer = checker.get("/bedside/s1", headers={"host": host})

    assert answer.status_code == 421
    assert "does not go by that name" in answer.json()["sentence"]


def test_names_are_compared_whole_and_without_their_port():
    hosts = Hosts(["localhost", "::1", "Ward-Laptop.local."])

    for name in ("localhost", "LOCALHOST:8750", "[::1]", "[::1]:8750", "ward-laptop.local:80"):
        assert hosts.has(name), name
    for name in (
        "",
        "local",
        "localhost:",
        "localhost:80:80",
        "xlocalhost",
        "::1",
        "[::2]:80",
        "localhost@evil:80",
    ):
        assert not hosts.has(name), name


def test_every_answer_says_how_little_a_browser_may_do_with_it(open_lab, checker):
    with open_lab.stranger() as stranger:
        answers = [
            stranger.get("/join"),
            stranger.get("/nowhere"),
            stranger.get(open_lab.door.pages.shelf.address("css/paper.css")),
            stranger.post("/stations/s1/acts", json={}, headers={"origin": "http://evil.example"}),
            checker.get("/check-off/s1"),
            checker.post("/stations/s1/acts", json={"acts": []}),
        ]

    for answer in answers:
        for name, value in HEADERS.items():
            assert answer.headers[name] == value
    assert "'unsafe" not in HEADERS["content-security-policy"]
    assert "server" not in answers[0].headers


@pytest.mark.parametrize("path", ["/", "/join", "/sign-in", "/reach", "/codes", "/welcome", "/bedside/s1"])
def test_no_page_holds_script_or_style_of_its_own(open_lab, path):
    with open_lab.instructor() as client:
        page = client.get(path).text.lower()

    for tag in page.split("<script")[1:]:
        head, _, body = tag.partition(">")
        assert 'type="application/json"' in head or body.startswith("</script>"), head
    assert "<style" not in page
    assert " style=" not in page
    assert " onclick=" not in page


def test_files_of_another_version_are_not_mixed_in(open_lab):
    address = open_lab.door.pages.shelf.address("css/paper.css")
    with open_lab.stranger() as client:
        here = client.get(address)
        other = client.get(address.replace(open_lab.door.pages.shelf.digest, "0" * 16))
        outside = client.get(f"/static/{open_lab.door.pages.shelf.digest}/../templates/base.html")

    assert here.status_code == 200
    assert "immutable" in here.headers["cache-control"]
    assert (other.status_code, outside.status_code) == (404, 404)


# -- too much, too often --------------------------------------------------------------------


def test_more_than_a_body_may_hold_is_refused_before_it_is_read(open_lab, checker):
    before = len(open_lab.entries())
    said = checker.post("/stations/s1/acts", content=b"x" * (MOST_BYTES + 1), headers=JSON)

    def in_pieces():
        for _ in range(MOST_BYTES // 1000 + 2):
            yield b" " * 1000

    unsaid = checker.post("/stations/s1/acts", content=in_pieces(), headers=JSON)

    assert (said.status_code, unsaid.status_code) == (413, 413)
    assert said.json()["sentence"] == "This is more than 64 kB at once. Send it in parts."
    assert len(open_lab.entries()) == before


def test_more_acts_than_hands_can_do_wait_and_none_is_lost(new_lab):
    lab = new_lab()
    lab.begin(go=True)
    act = {"act": "hands_cleaned"}
    with lab.joined("checker") as client:
        answers = [client.post("/stations/s1/acts", json={"acts": [act] * 50}) for _ in range(5)]

    codes = [answer.status_code for answer in answers]
    assert codes[:3] == [200, 200, 200]
    assert codes[-1] == 429
    assert int(answers[-1].headers["retry-after"]) >= 1
    assert sum(entry.kind == "hands_cleaned" for entry in lab.entries()) == 50 * codes.count(200)


def test_a_bucket_fills_at_its_rate_and_no_fuller():
    now = [100.0]
    rates = Rates(Bucket(holds=2, a_second=0.5), lambda: now[0])

    taken = [rates.take("a"), rates.take("a"), rates.take("a"), rates.take("b")]
    now[0] += 2
    later = [rates.take("a"), rates.take("a")]
    now[0] += 3600
    full = [rates.take("a"), rates.take("a"), rates.take("a")]

    assert taken == [0, 0, 2, 0]
    assert later == [0, 2]
    assert full == [0, 0, 2]


def test_a_thousand_addresses_are_not_all_remembered():
    rates = Rates(Bucket(holds=2, a_second=0.5), lambda: 0.0)
    for number in range(10_000):
        rates.count(str(number))
    rates.count("worst", 4)
    for number in range(10_000):
        rates.count(str(number))

    assert len(rates._left) <= 4096
    assert rates.wait_s("worst") > 0


# -- malformed ------------------------------------------------------------------------------

BAD_BODIES = [
    b"",
    b"[]",
    b"null",
    b"{",
    b'{"acts": [}',
    b'{"acts": 1}',
    b'{"acts": []}',
    b'{"acts": [1], "acts": [2]}',
    b'{"acts": [{"act": "flow_set"}], "more": 1}',
    b'{"acts": NaN}',
    b'{"acts": [-Infinity]}',
    b"[" * 60000,
    b'{"acts":' * 5000 + b"1" + b"}" * 5000,
    b'{"acts": [' + b"9" * 5000 + b"]}",
    b'{"acts": [{"act": "\\ud800"}]}',
    b'\xff\xfe{"acts": []}',
    b'{"acts": [' + b"{}," * 50 + b"{}]}",
]


@pytest.mark.parametrize("body", BAD_BODIES, ids=range(len(BAD_BODIES)))
def test_a_body_that_cannot_be_meant_gets_a_sentence(open_lab, checker, body):
    before = len(open_lab.entries())

    answer = checker.post("/stations/s1/acts", content=body, headers=JSON)

    assert answer.status_code == 400
    assert len(answer.json()["sentence"]) > 20
    assert len(open_lab.entries()) == before


def test_another_kind_of_body_gets_a_sentence(checker):
    answer = checker.post("/stations/s1/acts", content=b"acts=flow", headers={"content-type": "text/plain"})

    assert (answer.status_code, "application/json" in answer.json()["sentence"]) == (415, True)


BAD_ACTS = [
    1,
    "flow_set",
    {},
    {"act": 7},
    {"act": "flow_sett"},
    {"act": "flow_set"},
    {"act": "flow_set", "values": {"flow_lpm": 1e308}},
    {"act": "flow_set", "values": {"flow_lpm": -1}},
    {"act": "flow_set", "values": {"flow_lpm": "2"}},
    {"act": "flow_set", "on": "nothing", "values": {"flow_lpm": 2}},
    {"act": "flow_set", "on": "x" * 5000, "values": {"flow_lpm": 2}},
    {**FLOW, "manner": "shouted"},
    {**FLOW, "hands": "\n"},
    {**FLOW, "key": "one"},
    {**FLOW, "key": ["screen", -1]},
    {**FLOW, "key": ["screen", True]},
    {**FLOW, "seen_at_ms": -5},
    {**FLOW, "seen_at_ms": 10**30},
    {**FLOW, "n": 3},
    {**FLOW, "t_ms": 0},
    {"act": "attempt_started", "values": {}},
]


def test_each_bad_act_gets_its_own_sentence_and_the_good_one_among_them_counts(open_lab, checker):
    before = len(open_lab.entries())

    answer = checker.post("/stations/s1/acts", json={"acts": [*BAD_ACTS, FLOW]})

    receipts = answer.json()["receipts"]
    assert answer.status_code == 200
    assert [set(receipt) for receipt in receipts[:-1]] == [{"refused"}] * len(BAD_ACTS)
    assert all(len(receipt["refused"]) > 15 for receipt in receipts[:-1])
    assert receipts[-1]["n"] == before + 1 == len(open_lab.entries())


TEXT = st.text(st.characters(codec="utf-8"), max_size=30) | st.text(string.ascii_lowercase + "_", max_size=12)
PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)
NAMES = st.sampled_from(
    [
        "act",
        "acts",
        "on",
        "values",
        "manner",
        "hands",
        "seen_at_ms",
        "key",
        "kind",
        "about",
        "do",
        "times",
        "minutes",
        "to_ms",
        "case",
        "mode",
        "learner",
        "go",
        "why",
        "flow_lpm",
    ]
)
WORDS = st.sampled_from(
    [
        "flow_set",
        "device_placed",
        "taken_back",
        "time_skipped",
        "positioned",
        "observed",
        "event_thrown",
        "note",
        "done",
        "said",
        "cannula",
        "flowmeter",
        "go",
        "pause",
        "pace",
    ]
)
SAID = st.dictionaries(
    NAMES | TEXT, PLAIN | WORDS | st.lists(st.dictionaries(NAMES, PLAIN | WORDS, max_size=5)), max_size=6
)


@pytest.mark.slow
@settings(
    max_examples=120,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(where=st.sampled_from(["acts", "marks", "clock", "start", "next", "end"]), said=SAID)
def test_whatever_is_sent_the_answer_is_a_sentence_or_receipts_and_the_log_stays_readable(
    open_lab, checker, where, said
):
    if where in ("acts", "marks") and where not in said:
        said = {where: [said]}

    answer = checker.post(f"/stations/s1/{where}", json=said)

    assert answer.status_code in (200, 400, 403, 409, 413, 429), (answer.status_code, answer.text)
    told = answer.json()
    assert told.keys() & {"sentence", "receipts", "clock", "station"}
    entries = open_lab.entries()
    assert [entry.n for entry in entries] == list(range(1, len(entries) + 1))


# -- repeated, out of order -----------------------------------------------------------------


def test_the_same_tap_twice_is_one_act_also_across_requests(open_lab):
    open_lab.begin(go=True)
    tap = {**FLOW, "key": ["tablet-a", 41]}
    with open_lab.joined("checker") as client:
        first = client.post("/stations/s1/acts", json={"acts": [tap, tap]}).json()["receipts"]
        again = client.post("/stations/s1/acts", json={"acts": [tap]}).json()["receipts"]
        earlier = client.post("/stations/s1/acts", json={"acts": [{**tap, "key": ["tablet-a", 7]}]}).json()[
            "receipts"
        ]
        other = client.post("/stations/s1/acts", json={"acts": [{**tap, "values": {"flow_lpm": 9}}]}).json()[
            "receipts"
        ]

    assert first[0] == first[1] == again[0]
    assert earlier[0]["n"] == first[0]["n"] + 1  # a lower count that comes later is another tap, not a fault
    assert "refused" in other[0] or other[0] == first[0]
    flows = [entry.values["flow_lpm"] for entry in open_lab.entries() if entry.kind == "flow_set"]
    assert flows == [2, 2]


def test_a_socket_takes_nothing_and_the_station_goes_on(open_lab, checker):
    open_lab.begin(go=True)
    for sent in ("{}", json.dumps({"acts": [FLOW]}), b"\x00\x01"):
        with open_lab.listen(checker) as socket:
            heard(socket, "hello")
            socket.send(sent)
            code, reason = closing(socket)
        assert code == 4400
        assert reason.startswith("Nothing is taken here")
    with open_lab.listen(checker) as socket:
        heard(socket, "hello")
        socket.send("x" * 5000)
        assert closing(socket)[0] == 1009
    with open_lab.listen(checker) as socket:
        heard(socket, "hello")
        socket.ping().wait(10)
        assert heard(socket, "breath")["breath"]["air_ml"]
    assert [entry.kind for entry in open_lab.entries()] == ["attempt_started", "resumed"]


@pytest.mark.parametrize("after", ["-1", "x", "9" * 30, "1.5", "", "%00"])
def test_a_number_that_is_none_is_a_fresh_start(open_lab, checker, after):
    open_lab.begin(go=True)
    with open_lab.listen(checker, query=f"&after={after}") as socket:
        assert heard(socket, "hello")["seq"] > 0
