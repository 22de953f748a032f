"""The drawing's own tests are run by node: laws of paths and states, and the plate's promises to pages."""

import subprocess
from pathlib import Path

from tests.needs import needs, path_of

HERE = Path(__file__).parent / "draw"


@needs("node")
def test_the_drawing_keeps_its_laws():
    files = sorted(str(path) for path in HERE.glob("*.test.mjs"))
    assert files

    run = subprocess.run([path_of("node"), "--test", *files], capture_output=True, text=True, check=False)

    assert run.returncode == 0, run.stdout[-6000:]
    assert "# pass 0" not in run.stdout
