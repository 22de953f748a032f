"""The debrief in a real browser: what happened, verdicts when asked for, another way; by keyboard alone."""

import json
import re

import pytest
from tests.browser.axe import violations
from tests.browser.conftest import DESK, PHONE, TABLET

# Moments in minutes at which hands do something, as the case's good path has it.
DONE = [
    ("order_read", None, {}),
    ("positioned", None, {"position": "upright"}),
    ("flow_set", "flowmeter", {"flow_lpm": 2}),
    ("device_placed", "cannula", {}),
]


@pytest.fixture(scope="module")
def attempt(lab):
    """An attempt with a few acts, ended after some ten minutes."""
    lab.begin("s5", mode="formative")
    for kind, on, values in DONE:
        lab.act("s5", kind, on, **values)
        lab.clock("s5", "skip", minutes=1)
    lab.clock("s5", "skip", minutes=5)
    board = {each["id"]: each for each in json.loads(lab.get("/board.json"))["stations"]}
    lab.post("/stations/s5/end", {"why": "finished"})
    return board["s5"]["attempt"]


def opened(screen, attempt, size=DESK):
    page = screen("instructor", path=f"/debrief/{attempt}", size=size)
    page.locator(".strip").first.wait_for()
    return page


def tab_to(page, name):
    """Go by the tab key alone until the named thing has the focus."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement?.textContent?.trim()") == name:
            return
    raise AssertionError(f"the tab key does not come to {name!r}")


def test_it_is_found_from_the_station_and_from_today(screen, attempt):
    station = screen("instructor", "s5")
    station.get_by_role("link", name="Debrief", exact=True).click()
    station.locator(".strip").first.wait_for()
    assert station.url.endswith(f"/debrief/{attempt}")
    today = screen("instructor", path="/")
    assert today.get_by_role("link", name="Debrief, Station 5").get_attribute("href") == f"/debrief/{attempt}"
    today.goto(today.url + "debrief")
    assert today.locator(f'a[href="/debrief/{attempt}"]').is_visible()


def test_the_first_page_holds_what_happened_and_no_verdict(screen, attempt):
    page = opened(screen, attempt)

    names = page.locator(".strip-name b").all_inner_texts()
    assert names == [
        "Saturation",
        "Inspired oxygen",
        "Worn",
        "Carbon dioxide",
        "Breaths",
        "Early warning",
        "Medicine",
        "Skin",
    ]
    assert page.get_by_text("What did you see?").is_visible()
    assert not re.search(r"\b(Not met|Met)\b", page.locator("main").inner_text())
    flags = page.locator("time-rule li").all_inner_texts()
    assert [flag[6:] for flag in flags if "Skip time" not in flag] == [
        "Read the order",
        "Position the patient: upright",
        "Set flow: 2",
        "Device on",
    ]


def test_the_mark_is_moved_by_keys_and_by_hand_and_the_numbers_follow(screen, attempt, settled):
    page = opened(screen, attempt)
    slider = page.get_by_role("slider")
    slider.focus()
    slider.press("Home")
    assert page.locator("#moment").inner_text() == "At 00:00"
    assert "nothing" in page.locator("#readings").inner_text()
    before = page.locator(".strip-mark").bounding_box()["x"]
    for _ in range(12):
        slider.press("PageUp")

    assert page.locator("#moment").inner_text() == "At 06:00"
    assert "nasal cannula" in page.locator("#readings").inner_text()
    assert page.locator("#last-act").inner_text() == "Last: Skipped 5 min. (04:00)"
    assert page.locator(".strip-mark").bounding_box()["x"] > before + 50
    settled(page, lambda: "06:00. Saturation" in page.locator("#heard").inner_text())
    plot = page.locator(".plot").first.bounding_box()
    page.mouse.click(plot["x"] + 2, plot["y"] + 20)
    assert page.locator("#moment").inner_text() < "At 00:05"


def test_the_mark_stands_over_its_moment_on_the_line_of_time(screen, attempt):
    page = opened(screen, attempt)
    slider = page.get_by_role("slider")
    slider.focus()
    for key in ("Home", *["PageUp"] * 8):
        slider.press(key)

    mark, now = page.locator(".strip-mark").bounding_box(), page.locator(".rule .now").bounding_box()

    assert mark["x"] + mark["width"] / 2 == pytest.approx(now["x"] + now["width"] / 2, abs=2)


def test_verdicts_come_when_asked_for_and_lead_to_their_moments(screen, attempt):
    page = opened(screen, attempt)
    page.get_by_role("button", name="Show the verdicts").click()
    page.locator(".verdicts").first.wait_for()

    assert page.locator("#verdicts h3").first.inner_text() == "What went well"
    moment = page.locator(".verdicts .moments button").first
    at = moment.inner_text()[:5]
    moment.click()
    assert page.locator("#moment").inner_text() == f"At {at}"
    assert "An assessor decides, not the program." in page.locator("#verdicts").inner_text()


def test_an_act_is_left_out_by_keyboard_alone_and_both_ways_are_shown(screen, attempt):
    page = opened(screen, attempt)
    which = page.locator("#which")
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement?.id") == "which":
            break
    page.keyboard.type("0")  # the lists are chosen from by keys
    while "Device on" not in which.evaluate("e => e.selectedOptions[0].textContent"):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Tab")
    page.keyboard.type("had not")
    tab_to(page, "Replay with this change")
    page.keyboard.press("Enter")
    page.locator("#leave").wait_for()

    assert page.locator('[data-strip="saturation"] .would').count() == 1
    assert page.locator('[data-strip="saturation"] .went').count() == 2
    assert page.locator('[data-strip="saturation"] .ring').count() >= 3
    told = page.locator("#other").inner_text()
    assert "had not been done" in told
    assert "less in the ordered range" in told
    assert "one simulated patient under the same chance" in told
    tab_to(page, "Leave the other way")
    page.keyboard.press("Enter")
    assert page.locator(".would").count() == 0


def test_an_act_is_done_otherwise_in_the_forms_of_practice(screen, attempt):
    page = opened(screen, attempt)
    page.locator("#which").select_option(
        label=page.locator("#which option", has_text="Set flow").inner_text()
    )
    page.locator("#way").select_option("changed")
    page.get_by_role("button", name="Replay with this change").click()
    dialog = page.get_by_role("dialog")
    dialog.get_by_label("Flow").fill("6")
    dialog.get_by_role("button", name="Record").click()
    page.locator("#leave").wait_for()

    assert "had been: 6" in page.locator("#other").inner_text()


def test_another_act_is_added_at_the_mark(screen, attempt):
    page = opened(screen, attempt)
    slider = page.get_by_role("slider")
    slider.focus()
    for key in ("Home", *["PageUp"] * 10):
        slider.press(key)
    page.locator("#way").select_option("added")
    page.get_by_role("button", name="Replay with this change").click()
    page.get_by_role("searchbox").fill("position")
    page.keyboard.press("Enter")
    page.get_by_role("dialog").get_by_text("Flat", exact=True).click()
    page.locator("#leave").wait_for()

    assert "flat” had been done at 05:00" in page.locator("#other").inner_text()


def test_what_cannot_be_is_said(screen, attempt):
    page = opened(screen, attempt)
    page.locator("#which").select_option(
        label=page.locator("#which option", has_text="Device on").inner_text()
    )
    page.locator("#way").select_option("moved")
    screen.expected.append("409")
    page.get_by_role("slider").focus()
    page.keyboard.press("Home")
    page.get_by_role("button", name="Replay with this change").click()
    page.locator("#leave, #says:not(:empty)").first.wait_for()

    assert page.locator("#leave").count() or page.locator("#says").inner_text()


@pytest.mark.parametrize("size", [DESK, TABLET, PHONE], ids=["desk", "tablet", "phone"])
def test_no_rule_of_accessibility_is_broken(screen, attempt, size):
    page = opened(screen, attempt, size)
    page.get_by_role("button", name="Replay with this change").click()
    page.locator("#leave").wait_for()
    page.get_by_role("button", name="Show the verdicts").click()
    page.locator(".verdicts").first.wait_for()
    page.locator("#tables summary").click()

    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]


def test_another_learner_is_refused_in_words(screen, attempt):
    page = screen("learner", "s5", path="/join")
    screen.expected.append("403")
    page.goto(page.url.rsplit("/", 1)[0] + f"/debrief/{attempt}")

    assert "A record is private" in page.locator("main").inner_text()
