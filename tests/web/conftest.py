"""A lab for the tests of a file; each begins the attempts that it needs."""

import pytest
from tests.web.open_lab import OpenLab


@pytest.fixture(scope="module")
def open_lab(tmp_path_factory):
    lab = OpenLab(tmp_path_factory.mktemp("lab"))
    yield lab
    lab.close()


@pytest.fixture
def new_lab(tmp_path):
    """Makes labs of a test's own, closed when the test is over."""
    made = []

    def make(**how):
        made.append(OpenLab(tmp_path / f"lab-{len(made)}", **how))
        return made[-1]

    yield make
    for lab in made:
        lab.close()
