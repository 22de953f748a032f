"""Contract: the tour shows what the code does today, and quotes the case file as it is written."""

import textwrap

import pytest
from tests.docs.pages import WRITE_ANEW, blocks, fresh, page

import tidalbay


@pytest.mark.usefixtures("model")
def test_every_example_of_the_tour_prints_what_the_page_says():
    shown = page("tour.md")

    assert fresh(shown) == shown, WRITE_ANEW


def test_what_the_tour_quotes_stands_in_the_case_file():
    written = tidalbay.demonstrations()["post-operative"].read_text(encoding="utf-8")

    quoted = blocks(page("tour.md"), "yaml")

    assert len(quoted) > 3
    for block in quoted:
        assert textwrap.dedent(block) in textwrap.dedent(written) or block in written, block


def test_a_page_that_says_what_is_not_so_is_found():
    honest = "```python\n>>> 1 + 1\n2\n```\n"

    assert fresh(honest) == honest
    assert fresh(honest.replace("\n2\n", "\n3\n")) == honest
    assert fresh("```python\n>>> int('x')\n```") == (
        "```python\n>>> int('x')\nValueError: invalid literal for int() with base 10: 'x'\n```"
    )
