"""The pages' own modules are tested by node, against the catalogue as this Python reads it."""

import os
import subprocess
import sys
from pathlib import Path

from tests.needs import needs, path_of

HERE = Path(__file__).parent / "pages"


@needs("node")
def test_the_pages_keep_their_contracts():
    files = sorted(str(path) for path in HERE.glob("*.test.mjs"))
    assert files

    run = subprocess.run(
        [path_of("node"), "--test", *files],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "TIDALBAY_PYTHON": sys.executable},
    )

    assert run.returncode == 0, run.stdout[-6000:]
    assert "# pass 0" not in run.stdout
