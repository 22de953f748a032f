"""The instructor's afternoon and everybody's way in, as people do them."""

import json
import re

import pytest
from tests.browser.axe import assert_accessible
from tests.browser.conftest import DESK, PHONE, PROJECTOR, TABLET
from websockets.sync.client import connect

AT = "document.activeElement"
PAGES = ["/", "/welcome", "/codes", "/reach", "/join", "/first", "/nowhere"]


def row(page, title):
    return page.locator("li.station", has=page.get_by_role("heading", name=title, exact=True))


def board(lab):
    return {each["id"]: each for each in json.loads(lab.get("/board.json"))["stations"]}


def test_two_guided_minutes_do_what_they_say(own_lab, own_screen, settled):
    page = own_screen("instructor", path="/welcome")
    settled(page, lambda: page.locator("#saturation").inner_text().endswith("%"))
    before = int(page.locator("#saturation").inner_text().split()[0])

    for button in ("Begin", "Set flow, 2 L/min", "Cannula on", "Ten times faster"):
        page.get_by_role("button", name=button, exact=True).click()
        settled(page, lambda name=button: page.get_by_role("button", name=name, exact=True).count() == 0)

    risen = settled(
        page, lambda: int(page.locator("#saturation").inner_text().split()[0]) >= before + 2, within_s=40
    )
    page.get_by_role("button", name="Sit him up").click()
    page.get_by_role("link", name="Look inside").wait_for()
    log = [each["act"] for each in own_lab_entries(own_lab)]
    assert risen
    assert log[-6:] == ["order_read", "flow_set", "gas_proved", "device_placed", "pace_set", "positioned"]

    page.reload()
    page.get_by_role("button", name="Begin again, a fresh patient").click()
    page.get_by_role("button", name="Set flow, 2 L/min").wait_for()
    assert [each["act"] for each in own_lab_entries(own_lab)] == ["attempt_started", "resumed"]


def own_lab_entries(lab):
    with connect(f"ws://127.0.0.1:{lab.port}/live/s1?after=0&screen=reader", origin=lab.url) as socket:
        return json.loads(socket.recv(timeout=20))["entries"]


def test_an_afternoon_on_the_board(own_lab, own_screen, settled, expect):
    page = own_screen("instructor", path="/")
    page.get_by_label("Add learners, a name a line").fill("Ana Pereira\nBo Lindqvist\nChidi Okafor")
    page.get_by_role("button", name="Add to the line").click()
    settled(page, lambda: page.locator("#line .name").count() == 3)
    station = row(page, "Station 2")

    station.get_by_role("button", name="Start, Station 2").click()
    expect(page.locator("#trouble")).to_contain_text("Say first what comes out of the wall at Station 2")
    station.get_by_label("Oxygen").check()
    settled(page, lambda: board(own_lab)["s2"]["gas"] == "oxygen")
    station.get_by_role("button", name="Start, Station 2").click()
    station.get_by_role("button", name="Let time go, Station 2").click()
    settled(page, lambda: board(own_lab)["s2"]["state"] == "running")
    expect(station).to_contain_text("Ana Pereira, formative")
    expect(station).to_contain_text(re.compile(r"1[56]:\d\d left"))

    station.get_by_role("button", name="Void, equipment, Station 2").click()
    station.get_by_role(
        "button", name="Next: Ana Pereira, form B, Station 2"
    ).wait_for()  # it cost her no attempt
    page.get_by_role("button", name="Absent: Ana Pereira").click()
    station.get_by_label("Flow at 0").check()
    settled(page, lambda: board(own_lab)["s2"]["put_back"] == ["flow"])
    station.get_by_role("button", name="Next: Bo Lindqvist, form B, Station 2").click()
    station.get_by_role("button", name="Let time go, Station 2").wait_for()
    expect(station).to_contain_text("Bo Lindqvist, formative")
    expect(station).to_contain_text("Mr H. Selwick, the day after bowel surgery, form B")
    assert board(own_lab)["s2"]["put_back"] == []
    station.get_by_role("button", name="Let time go, Station 2").click()
    station.get_by_role("button", name="Stop, kindly, Station 2").click()
    settled(page, lambda: "Stopped, kindly" in station.inner_text())
    station.get_by_role("button", name="End, no attempt spent, Station 2").click()
    station.get_by_role("button", name="Next: Bo Lindqvist, form A, Station 2").wait_for()


def test_a_station_is_started_by_keyboard_alone(own_lab, own_screen, settled):
    page = own_screen("instructor", path="/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    for _ in range(80):
        page.keyboard.press("Tab")
        focused = page.evaluate(
            "[document.activeElement.className, document.activeElement.closest('li')?.dataset.state]"
        )
        if focused == ["mode", "empty"]:
            break
    page.keyboard.press("d")  # demonstration: no gas need be said for that
    for _ in range(4):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.dataset?.press") == "start":
            break
    ring = page.evaluate(f"getComputedStyle({AT}).outlineStyle + getComputedStyle({AT}).outlineWidth")
    page.keyboard.press("Enter")

    settled(page, lambda: board(own_lab)["s2"]["state"] == "running")
    assert ring == "solid3px"
    settled(page, lambda: page.evaluate("document.activeElement.dataset?.press") == "pause")


def test_a_code_is_typed_as_it_is_called_across_the_room(lab, screen):
    code = lab.join_address("checker", "s2").rpartition("/")[2]
    word, digits = code.rstrip("0123456789").lower(), code.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    page = screen("instructor", path="/join", size=PHONE)
    screen.expected.append("403")

    page.get_by_label("Join a station").fill("nobody 0000")
    page.get_by_role("button", name="Join").click()
    wrong = page.get_by_role("alert").inner_text()
    page.get_by_label("Join a station").fill(f" {word.capitalize()} {digits}")
    page.get_by_role("button", name="Join").click()
    page.wait_for_url("**/check-off/s2")

    assert wrong == "No station has this code today. Codes change with every lab: look at the card again."


def test_a_tablet_is_told_whether_it_reaches_the_lab(lab, screen, settled):
    page = screen("learner", path="/reach", size=TABLET)

    settled(page, lambda: page.locator("#verdict").inner_text().startswith("Yes"))
    assert page.locator("#line").inner_text() == "opens"
    assert page.locator("#lost").inner_text() == "0"


def test_a_key_is_shown_once(lab, screen, settled):
    page = screen("instructor", path="/codes")
    page.locator("summary").first.click()
    page.get_by_role("button", name="Make a key").first.click()

    settled(page, lambda: len(page.locator("output").first.inner_text()) > 20)
    page.reload()
    assert page.locator("output").first.inner_text() == ""


def dim(page, expect):
    """The page comes again dimmed: only its new button tells that it has come."""
    page.get_by_role("button", name="Dim the page").click()
    expect(page.get_by_role("button", name="Full light")).to_be_visible()


def test_the_page_can_be_dimmed_and_stays_so(lab, screen, expect):
    page = screen("instructor", path="/reach")
    paper = page.locator("body")
    dim(page, expect)
    expect(paper).to_have_css("background-color", "rgb(167, 159, 141)")
    page.goto(f"{lab.url}/codes")

    expect(paper).to_have_css("background-color", "rgb(167, 159, 141)")
    page.get_by_role("button", name="Full light").click()
    expect(paper).to_have_css("background-color", "rgb(251, 248, 242)")


@pytest.mark.parametrize("size", [DESK, TABLET, PHONE, PROJECTOR])
def test_no_rule_of_accessibility_is_broken_and_nothing_is_wider_than_the_page(lab, screen, size):
    page = screen("instructor", path="/", size=size)
    screen.expected.append("404")
    for path in PAGES:
        page.goto(lab.url + path)
        page.wait_for_timeout(400)

        assert_accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, path


def test_dimmed_pages_keep_their_contrast(lab, screen, expect):
    page = screen("instructor", path="/reach")
    screen.expected.append("404")
    dim(page, expect)
    for path in PAGES:
        page.goto(lab.url + path)
        page.wait_for_timeout(400)
        assert_accessible(page)


def test_large_text_keeps_everything_within_the_page(lab, screen):
    page = screen("instructor", path="/", size=TABLET)
    screen.expected.append("404")
    for path in PAGES:
        page.goto(lab.url + path)
        page.evaluate("document.documentElement.style.setProperty('font-size', '200%')")
        page.wait_for_timeout(300)
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, path
