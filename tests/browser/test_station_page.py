"""The instructor's station in a real browser: what is so beside what they see, time, and made trouble."""

import pytest
from tests.browser.axe import violations
from tests.browser.conftest import DESK, TABLET


def pressed(page, name, confirm=None):
    page.get_by_role("button", name=name, exact=True).first.click()
    if confirm:
        page.get_by_role("dialog").get_by_role("button", name=confirm).click()


def test_what_is_so_stands_beside_what_they_see(lab, screen, settled):
    lab.begin("s1", mode="demonstration")
    lab.clock("s1", "pace", times=5)
    page = screen("instructor")
    page.locator("#ledger h3").wait_for()

    assert page.get_by_text("Arterial saturation").is_visible()
    head, *cells = page.evaluate(
        "[...document.querySelectorAll('#ledger :is(h3, td)')].map((e) => e.textContent)"
    )
    shown = [float(cell.split()[0]) for cell in cells]
    assert sum(shown) == pytest.approx(float(head.split(",")[1].split()[0]), abs=len(shown))


def test_the_clock_does_what_is_pressed(lab, screen, settled):
    lab.begin("s1", mode="demonstration", go=False)
    page = screen("instructor")
    pressed(page, "Begin")
    settled(page, lambda: page.locator("[data-time=pause]").count())
    pressed(page, "Five minutes later")
    settled(page, lambda: page.locator(".rule .now-name").text_content() >= "05:00")
    pressed(page, "Pause")
    settled(page, lambda: "Time stands still" in page.locator("#state").inner_text())

    pressed(page, "Back 30 s")

    settled(page, lambda: "Gone back" in page.locator("#state").inner_text())
    settled(page, lambda: page.locator(".rule .now-name").text_content() < "05:00")


def test_a_moment_is_picked_by_keyboard_and_gone_back_to(lab, screen, settled):
    lab.begin("s1", mode="demonstration")
    lab.clock("s1", "skip", minutes=5)
    lab.clock("s1", "pause")
    page = screen("instructor")
    slider = page.get_by_role("slider")
    settled(page, lambda: (page.locator(".rule .now-name").text_content() or "") >= "05:00")
    slider.focus()
    for _ in range(4):
        slider.press("PageDown")

    page.get_by_role("button", name="Back to the mark").click()

    settled(page, lambda: "Gone back to 3:0" in page.locator("#state").inner_text())


def test_an_assessment_offers_no_pace_no_step_no_way_back(lab, screen):
    lab.begin("s4", mode="summative")
    page = screen("instructor", "s4")
    page.locator("[data-time]").first.wait_for()

    offered = [each.inner_text() for each in page.locator("[data-time]").all()]

    assert offered == ["Pause", "Five minutes later"]
    assert page.get_by_label("Pace").is_disabled()


def test_a_kink_is_thrown_and_the_learner_sees_only_the_tube(lab, screen, settled):
    lab.begin("s2", mode="formative")
    page, learner = screen("instructor", "s2"), screen("learner", "s2")
    page.get_by_label("Look for").fill("kink")
    pressed(page, "The tubing kinks", "Make it happen")

    settled(page, lambda: "kinked" in page.locator("#says").inner_text())
    settled(learner, lambda: "it is kinked" in learner.locator(".main-plate svg > desc").text_content())
    assert "made it happen" not in learner.locator("time-rule").text_content().lower()

    page.get_by_label("Look for").fill("tubing kinked")
    pressed(page, "The tubing kinked", "Put it right again")
    settled(learner, lambda: "it is kinked" not in learner.locator(".main-plate svg > desc").text_content())


def test_every_fault_at_hand_says_what_is_to_be_found(lab, screen, settled, expect):
    lab.begin("s2", mode="formative")
    page = screen("instructor", "s2")
    settled(page, lambda: page.locator("[data-fault]").count() >= 30)
    page.locator("summary", has_text="Patient").click()
    page.locator("[data-fault=pain_returns]").click()

    expect(page.get_by_role("dialog")).to_contain_text("Ask for a number; shallow breaths.")
    page.get_by_role("dialog").get_by_role("button", name="Make it happen").click()
    settled(page, lambda: "pain" in page.locator("#says").inner_text())
    expect(page.locator("[data-fault=valve_shut]")).to_be_disabled()  # there is no cylinder here
    expect(page.locator("[data-fault=pain_returns]")).to_be_visible()  # what was unfolded stays so


def test_a_mistaken_tap_is_taken_back_and_both_stay(lab, screen, expect):
    lab.begin("s2")
    page = screen("instructor", "s2")
    lab.act("s2", "flow_set", on="flowmeter", flow_lpm=7)
    row = page.locator("#entries li", has_text="7 L/min").first
    row.get_by_role("button", name="Take back").click()
    page.get_by_role("dialog").get_by_role("button", name="Take back").click()

    expect(page.locator("#entries s", has_text="7 L/min").first).to_be_visible()
    expect(page.locator("#entries li", has_text="Took back")).to_have_count(1)


def test_an_event_of_the_case_waits_and_can_be_let_happen(lab, screen, settled):
    lab.begin("s2", case="post-operative")
    page = screen("instructor", "s2")
    page.locator("[data-event=pain-eases]").click()
    page.get_by_role("dialog").get_by_role("button", name="Let it happen").click()

    settled(page, lambda: "Pain eases happened at" in page.locator("#waiting").inner_text().replace("-", " "))


def test_stop_kindly_and_the_next_learner(lab, screen, settled):
    lab.begin("s3")
    page = screen("instructor", "s3")
    pressed(page, "Stop, kindly", "Stop, kindly")
    settled(page, lambda: "Stopped, kindly" in page.locator("#state").inner_text())
    pressed(page, "Next learner", "Next learner")

    settled(page, lambda: "Ready" in page.locator("#state").inner_text())


@pytest.mark.parametrize("size", [DESK, TABLET], ids=["desk", "tablet"])
def test_no_rule_of_accessibility_is_broken(lab, screen, size):
    lab.begin("s2")
    page = screen("instructor", "s2", size=size)
    page.locator("#facts .reading").first.wait_for()

    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
