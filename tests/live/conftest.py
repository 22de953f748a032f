"""Stations are tested with the compiled model; another test shows that the plain one gives the same."""

import pytest


@pytest.fixture(autouse=True)
def _compiled(model):
    """The compiled model, so that minutes at a station pass in milliseconds."""
