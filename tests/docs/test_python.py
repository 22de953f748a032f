"""Contract: the page on Python shows real answers, every public name, and every column of a trace."""

import inspect

import pytest
from tests.docs.pages import WRITE_ANEW, fresh, page
from tests.docs.printed import TABLES

import tidalbay


@pytest.mark.usefixtures("model")
def test_every_example_and_the_table_of_columns_are_fresh():
    shown = page("python.md")

    assert fresh(shown, TABLES) == shown, WRITE_ANEW


@pytest.mark.parametrize("name", tidalbay.__all__)
def test_every_public_name_is_listed_and_used(name):
    shown = page("python.md")

    assert f"| `{name}(" in shown
    assert f"tidalbay.{name}(" in shown


@pytest.mark.parametrize("name", tidalbay.__all__)
def test_the_list_of_names_says_only_arguments_that_are_there(name):
    listed = page("python.md").partition(f"| `{name}(")[2].partition(")`")[0]
    arguments = inspect.signature(getattr(tidalbay, name)).parameters

    said = [
        word.strip().removesuffix("=...") for word in listed.split(",") if word.strip() not in ("", "...")
    ]

    assert [word for word in said if word not in arguments and word != "name"] == []
