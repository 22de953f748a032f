"""Contract: the lab is reached from this computer alone until the room is opened."""

import ipaddress
import logging
import socket
import sys

import httpx2
import pytest

from tidalbay.web.network import CannotListen, Listeners, is_loopback, listeners, punctual, room_addresses

SECOND = "127.0.0.3"  # another address of this machine, as a network's would be


def answers(address, port, path="/reach.json"):
    try:
        return httpx2.get(f"http://{address}:{port}{path}", timeout=5).status_code
    except httpx2.TransportError:
        return None


@pytest.mark.skipif(sys.platform != "linux", reason="only there has a machine a second address by itself")
def test_the_room_is_let_in_by_whoever_knows_the_password_and_not_before(new_lab, monkeypatch):
    found = [SECOND]
    monkeypatch.setattr(listeners, "room_addresses", lambda: list(found))
    monkeypatch.setattr(listeners, "LOOK_AGAIN_S", 0.1)
    lab = new_lab()

    before = answers(SECOND, lab.port)
    with lab.instructor() as client:
        board = client.post("/board/open-room", json={}).json()
        cards = client.get("/codes").text
    after = answers(SECOND, lab.port)
    address = f"http://{SECOND}:{lab.port}"
    with httpx2.Client(base_url=address, headers={"origin": address}) as tablet:
        joined = tablet.get(f"/join/{lab.door.afternoon.code_of('s1', 'checker')}")
        page = tablet.get("/check-off/s1")
        other_origin = tablet.post("/stations/s1/acts", json={"acts": []}, headers={"origin": lab.base})

    assert (before, after) == (None, 200)
    assert board["room"]["addresses"] == [address]
    assert f"opens {address}/join/" in cards
    assert (joined.status_code, page.status_code, other_origin.status_code) == (303, 200, 403)

    found.clear()  # the network is gone
    for _ in range(50):
        if answers(SECOND, lab.port) is None:
            break
    assert not lab.listeners.addresses
    assert answers("127.0.0.1", lab.port) == 200


def test_a_lab_without_a_password_is_not_opened(new_lab):
    lab = new_lab(has_password=False, is_demonstration=True)
    with lab.stranger() as client:
        answer = client.post("/board/open-room", json={})

    assert answer.status_code == 409
    assert not lab.listeners.is_open


def test_one_port_is_taken_once():
    first = Listeners(0)
    try:
        with pytest.raises(CannotListen) as refused:
            Listeners(first.port)
    finally:
        first._first.close()

    assert f"Port {first.port} on 127.0.0.1 cannot be used" in str(refused.value)
    assert f"--port {first.port + 1}" in str(refused.value)


def test_addresses_of_the_room_are_addresses_that_others_can_use():
    for address in room_addresses():
        ip = ipaddress.IPv4Address(address)
        assert not ip.is_loopback
        assert not ip.is_unspecified


HERE = ["127.0.0.1", "127.9.9.9", "::1", "::ffff:127.0.0.1"]
ELSEWHERE = ["192.168.4.2", "::ffff:192.168.4.2", "fe80::1", "localhost", "", "testclient"]


@pytest.mark.parametrize("address", [*HERE, *ELSEWHERE])
def test_this_computer_is_known_by_the_address_of_the_connection(address):
    assert is_loopback(address) is (address in HERE)


HALF_A_HEAD = b"POST /join HTTP/1.1\r\nHost: {host}\r\nX-Slow: "
HALF_A_BODY = (
    b"POST /join HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\n"
    b"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 6000\r\n\r\ncode="
)
WHOLE_THEN_HALF = b"GET /reach.json HTTP/1.1\r\nHost: {host}\r\n\r\nGET /reach.json HTTP/1.1\r\nHo"


@pytest.mark.parametrize("sent", [b"", HALF_A_HEAD, HALF_A_BODY, WHOLE_THEN_HALF])
def test_who_dawdles_with_a_request_is_let_go_and_others_are_answered(open_lab, monkeypatch, caplog, sent):
    monkeypatch.setattr(punctual, "WHOLE_WITHIN_S", 0.3)
    with socket.create_connection(("127.0.0.1", open_lab.port), timeout=5) as dawdler:
        dawdler.sendall(sent.replace(b"{host}", f"127.0.0.1:{open_lab.port}".encode()))
        with caplog.at_level(logging.ERROR):
            while dawdler.recv(4096):
                pass  # ends where the server closes; a socket that stays open times out instead

    assert answers("127.0.0.1", open_lab.port) == 200
    assert not caplog.records, "who leaves is no fault of the program's"


def test_a_socket_that_listens_for_long_stays_open(open_lab, monkeypatch):
    monkeypatch.setattr(punctual, "WHOLE_WITHIN_S", 0.1)
    open_lab.begin(go=True)
    with open_lab.joined("learner") as client, open_lab.listen(client) as listening:
        told = [listening.recv(timeout=10) for _ in range(4)]  # the clock's beat comes every two seconds

    assert all(told)


def test_one_address_of_the_room_cannot_take_every_place(new_lab, monkeypatch):
    monkeypatch.setattr(punctual, "MOST_OF_ONE_ADDRESS", 3)
    monkeypatch.setattr(punctual, "is_loopback", lambda host: False)
    lab = new_lab()
    held = [socket.create_connection(("127.0.0.1", lab.port), timeout=5) for _ in range(4)]
    try:
        assert held[3].recv(10) == b""
        held[0].sendall(f"GET /reach.json HTTP/1.1\r\nHost: 127.0.0.1:{lab.port}\r\n\r\n".encode())
        assert held[0].recv(4096).startswith(b"HTTP/1.1 200")
    finally:
        for each in held:
            each.close()
