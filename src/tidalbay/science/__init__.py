"""Pure scalar functions of physiology and physics, each with its unit and its source.

Plain numbers come in, and nothing here keeps a state, reads a clock or throws a die.
Plain numbers go out, and from what is marked `in_kernel` the same digits, compiled or not.

Functions are imported by name from the module whose noun they are about; those are the public names:

* `arithmetic`: `exp`, `exp_near_zero`, `log`, `power`, `cosine_of_half_turn`
* `chance`: `threefry`, `uniform`, `normal`, `normal_quantile` and the table of `..._STREAM` numbers
* `gas`: vapour, atmosphere, `alveolar_oxygen_mmhg`, `shunt_frac`, real gas in cylinders
* `acid_base`: `ph_from_base_excess`, `base_excess_mmol_l`, `bicarbonate_mmol_l`
* `blood`: `oxygen_saturation_frac`, `blood_contents`, `pressures_from_contents` and their parts
* `oximetry`: `functional_reading_frac`, `displayed_pct`
* `airway`, `ventilation`, `circulation`: breathing, its control, and what carries blood round
* `controls`: `Controls`, the numbers that equipment hands to the kernel
* `jit`: `in_kernel`, `compiled`, for functions that become part of the kernel.
"""

__all__ = [
    "acid_base",
    "airway",
    "arithmetic",
    "blood",
    "chance",
    "circulation",
    "controls",
    "gas",
    "jit",
    "oximetry",
    "ventilation",
]
