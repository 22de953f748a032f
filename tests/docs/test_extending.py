"""Contract: a device, a cylinder, an act and a case need no code, as the page on extending shows."""

import pytest
from tests.docs.pages import WRITE_ANEW, blocks, fresh, page
from tests.docs.rows import catalogue_with

import tidalbay
from tidalbay.catalogue import acts
from tidalbay.equipment import EQUIPMENT_ACTS

pytestmark = pytest.mark.usefixtures("model")


def test_the_rows_of_the_page_work_as_it_says():
    shown = page("extending.md")

    with catalogue_with(blocks(shown, "yaml")):
        again = fresh(shown)

    assert again == shown, WRITE_ANEW


def test_without_its_row_there_is_no_such_device():
    with pytest.raises(ValueError, match="There is no device 'large_reservoir_mask'; the devices are none, "):
        tidalbay.breath("large_reservoir_mask", 12.0)


def test_a_new_device_is_breathed_through_as_its_figures_say():
    # Contract: twice the dead space in the mask means more carbon dioxide breathed in again.
    row = """# catalogue/devices.yaml, under devices
- id: deep_mask
  words: deep mask
  worn_on: face
  gas_to: mask
  flowmeter_max_lpm: 15
  figures:
    mask_volume_ml: {is: 240, mark: assumed, basis: "twice a simple mask"}
    ports_ml_s_cmh2o: {is: 2500, mark: assumed, basis: "as simple_mask"}
    draught_shield_ml_s: {is: 200, mark: assumed, basis: "as simple_mask"}
  fit:
    seal_ml_s_cmh2o: {loose: 300, snug: 100, tight: 20, mark: assumed, basis: "as simple_mask"}
    draught_ml_s: {loose: 200, snug: 100, tight: 40, mark: assumed, basis: "as simple_mask"}
"""
    with catalogue_with([row]):
        deep = tidalbay.breath("deep_mask", 5.0)
        usual = tidalbay.breath("simple_mask", 5.0)

    assert deep.inspired_co2_ml > usual.inspired_co2_ml


def test_a_figure_that_nothing_reads_is_refused():
    row = """# catalogue/devices.yaml, under devices
- id: odd_mask
  words: odd mask
  worn_on: face
  gas_to: mask
  flowmeter_max_lpm: 15
  figures:
    colour: {is: 1, mark: assumed, basis: "none"}
"""
    with catalogue_with([row]), pytest.raises(ValueError) as refusal:
        tidalbay.breath("odd_mask", 5.0)

    assert str(refusal.value).startswith(
        "devices.yaml, odd_mask: has a figure colour, which nothing reads; write one of "
    )


def test_the_new_act_is_one_that_no_code_knows():
    with catalogue_with(blocks(page("extending.md"), "yaml")):
        kind = acts()["glasses_cleared"]
        told = kind.told({})

    assert told == "moved glasses and hearing aids clear of the tubing"
    assert "glasses_cleared" not in EQUIPMENT_ACTS
    assert "glasses_cleared" not in acts()
