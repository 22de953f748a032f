"""The station on paper: the same items under the same numbers, and a filled sheet entered afterwards."""

import json
import re

import pytest
from tests.browser.axe import assert_accessible
from tests.browser.conftest import PHONE, TABLET_UPRIGHT

PARTS = ("part-sheet", "part-prebrief", "part-cards", "part-charts", "part-stop")


@pytest.fixture
def sheet(lab, screen, expect):
    """The paper page of a station with a fresh patient, as a checker opens it."""

    def opened(station, size=TABLET_UPRIGHT):
        lab.begin(station)
        page = screen("checker", station, path=f"/paper/{station}", size=size)
        expect(page.locator('[data-case="name"]')).to_have_text("Mr T. Oakley")
        return page

    return opened


def test_the_items_on_paper_are_those_of_the_page_under_the_same_numbers(sheet, screen, expect):
    page = sheet("s1")
    checker = screen("checker", "s1")

    printed = page.locator(".items tbody tr").evaluate_all(
        "rows => rows.map((row) => [row.children[0].textContent.trim(), row.children[1].textContent.trim()])"
    )
    # Until the station's first word comes, a page shows the steps that any case has.
    expect(checker.locator("#steps legend")).to_have_count(len(printed))
    on_page = checker.locator("#steps legend").evaluate_all(
        "all => all.map((each) => [...each.children].map((part) => part.textContent.trim()))"
    )
    assert printed == on_page
    assert page.locator(".items tbody tr").first.locator(".box").count() == 5


def test_every_part_fits_a_page_of_its_own(sheet):
    page = sheet("s2")

    printed = page.pdf(prefer_css_page_size=True)

    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == len(PARTS)
    for part in PARTS:
        assert page.locator(f"#{part}").count() == 1


def test_a_sheet_from_paper_is_entered_and_says_where_it_came_from(sheet, screen, expect):
    sent = []
    page = sheet("s3")
    page.on("request", lambda asked: sent.append(asked) if asked.method == "POST" else None)

    def tick(item, state):
        group = page.get_by_role("group", name=item)
        group.get_by_role("radio", name=state, exact=True).check(force=True)
        return group

    tick("1 The order was read", "done").get_by_label("Time").fill("0:40")
    tick("2 Hands were cleaned", "missed")
    page.get_by_role("radio", name="competent").check(force=True)
    page.get_by_label("Notes").fill("The tablet was flat from 6:00 on.")
    page.get_by_role("button", name="Enter this sheet").click()

    expect(page.locator("#entered")).to_have_text("4 entries from paper kept.")
    marks = [mark for asked in sent for mark in json.loads(asked.post_data)["marks"]]
    assert [mark["values"] for mark in marks] == [
        {"state": "done", "at_s": 40, "from_paper": True},
        {"state": "missed", "from_paper": True},
        {"rating": 3, "from_paper": True},
        {"text": "The tablet was flat from 6:00 on.", "from_paper": True},
    ]
    assert [mark.get("about") for mark in marks[:2]] == ["order-before-flow", "hands-before-touch"]


def test_a_time_that_is_none_is_told_and_nothing_is_sent(sheet, expect):
    page = sheet("s4")
    group = page.get_by_role("group", name="1 The order was read")
    group.get_by_role("radio", name="done", exact=True).check(force=True)
    group.get_by_label("Time").fill("soon")
    page.get_by_role("button", name="Enter this sheet").click()

    expect(page.locator("#entry-fault")).to_have_text(
        'Item 1: "soon" is not a time of the station\'s clock; write it as 2:05.'
    )
    expect(group.get_by_label("Time")).to_be_focused()
    expect(page.locator("#entered")).to_be_empty()


def test_a_part_that_is_not_wanted_stays_off_the_paper(sheet, expect):
    page = sheet("s5")
    page.get_by_role("checkbox", name="The stop card").uncheck()

    page.emulate_media(media="print")
    expect(page.locator("#part-stop")).to_be_hidden()
    expect(page.locator("#part-sheet")).to_be_visible()
    expect(page.locator("#enter")).to_be_hidden()


@pytest.mark.parametrize("size", [TABLET_UPRIGHT, PHONE], ids=["tablet", "phone"])
def test_no_rule_of_accessibility_is_broken(sheet, size):
    assert_accessible(sheet("s6", size))
