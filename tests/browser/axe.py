"""Automated rules of accessibility, asked of a page as it stands: WCAG 2.2, levels A and AA."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]


def violations(page: "Page") -> list[str]:
    """What the rules find wrong, a line for each place. They find about a third of all faults."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(
        page, options={"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations"]}
    )
    return [
        f"{rule['id']}: {rule['help']} at {' '.join(map(str, node['target']))}"
        for rule in found.response["violations"]
        for node in rule["nodes"]
    ]


def assert_accessible(page: "Page") -> None:
    """Fail with what the rules find wrong on a page as it stands."""
    assert violations(page) == []
