"""Contract: the page on the model prints its misses and constants as they are."""

import re

import pytest
from tests.docs.pages import WRITE_ANEW, fresh, page
from tests.docs.printed import FILES, SOURCE, TABLES, constants_of


@pytest.mark.usefixtures("model")
def test_every_example_and_table_of_the_model_is_fresh():
    shown = page("model.md")

    assert fresh(shown, TABLES) == shown, WRITE_ANEW


def test_the_caution_comes_before_the_first_number():
    opening = page("model.md").partition("## ")[0]

    assert "not for the care of a patient" in opening


@pytest.mark.parametrize("name", FILES)
def test_every_constant_of_the_model_says_where_it_comes_from(name):
    # The reader of the file finds it beside the constant, or the page has words for it.
    for constant, _, words in constants_of(name):
        assert words, constant


def test_a_constant_without_a_word_of_its_origin_is_found(tmp_path, monkeypatch):
    monkeypatch.setattr("tests.docs.printed.SOURCE", tmp_path)
    (tmp_path / "engine.py").write_text("FIRST_S = 1.0  # assumed\n\nSECOND_S = 2.0\n", encoding="utf-8")

    with pytest.raises(AssertionError) as found:
        constants_of("engine.py")

    assert str(found.value) == (
        "engine.py: SECOND_S does not say where it comes from. Write a comment beside it: "
        "the published source, tuned and on which data, or assumed."
    )


def test_no_file_that_the_engine_computes_with_is_forgotten():
    # These hold published coefficients, arithmetic, layouts or switches.
    elsewhere = {
        "acid_base", "arithmetic", "blood", "chance", "compiling", "controls", "gas", "jit", "layout",
        "oximetry", "patient",
    }  # fmt: skip
    engine = {path.stem: path.read_text(encoding="utf-8") for path in (SOURCE / "engine").glob("*.py")}
    called = {
        name for text in engine.values() for name in re.findall(r"from tidalbay\.science\.(\w+) ", text)
    }
    numbers = re.compile(r"^[A-Z][A-Z0-9_]+(?:: Final)? = -?\d", re.M)

    wanted = {f"science/{name}.py" for name in called - elsewhere}
    wanted |= {f"engine/{name}.py" for name, text in engine.items() if numbers.search(text)}

    assert wanted - {f"engine/{name}.py" for name in elsewhere} <= set(FILES)
