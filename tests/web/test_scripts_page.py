"""Contract: the call that the page on scripts shows works as it stands there, with a real key."""

import contextlib
import io
import re
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs/scripts.md"


def test_the_documented_call_logs_an_act(open_lab):
    open_lab.begin(go=True)
    (code,) = re.findall(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    with open_lab.instructor() as client:
        key = client.post("/stations/s1/key", json={}).json()["key"]
    code = code.replace("http://127.0.0.1:8750", open_lab.base).replace("the key of station 1", key)

    with contextlib.redirect_stdout(io.StringIO()) as printed:
        exec(compile(code, "docs/scripts.md", "exec"), {})

    entry = open_lab.entries()[-1]
    assert (entry.kind, entry.values["flow_lpm"], entry.by[:7]) == ("flow_set", 2, "script-")
    assert f"'n': {entry.n}" in printed.getvalue()
