"""A nebulised treatment: the cup, the mist, and what the drugs have done to the patient so far.

A value that follows time by `later`; the numbers of cups and drugs come in from outside, so that a
recording keeps the figures it was made with.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from tidalbay.engine.patient import Patient
from tidalbay.science.aerosol import Breathing, Deposit, nebulised_second
from tidalbay.science.inhaled_drug import (
    Action,
    Dosed,
    action_from,
    dosed_after,
    heart_rate_rise_per_min,
    joint_relief_frac,
    narrowed,
    narrowing_left_frac,
    relief_frac,
    vasoconstriction_release_frac,
)
from tidalbay.science.nebuliser_cup import Cup, Jet, filled, jet_from, mist_frac, tapped

# What airways are in health: the end towards which a bronchodilator moves a narrowed patient.
HEALTHY = Patient()
EASED = (
    "resistance_cmh2o_s_l",
    "expiratory_time_constant_s",
    "vq_log_sd",
    "inspiratory_capacity_ml",
    "other_drive_l_min",
    "rate_bias",
)
NEGLIGIBLE_MG = 1e-6  # below it a drug does nothing to be seen (assumed)


@dataclass(frozen=True, slots=True)
class Treatment:
    """What is in the cup, where the drug went, and what it does now.  Milligrams and millilitres."""

    jet: Jet
    actions: Mapping[str, Action]
    cup: Cup = field(default_factory=Cup)
    parts: Mapping[str, float] = field(default_factory=dict)  # share of the cup's drug that each is
    dosed: Mapping[str, Dosed] = field(default_factory=dict)
    angle_deg: float = 0.0
    mist_frac: float = 0.0
    deposit: Deposit = field(default_factory=lambda: Deposit(0.0, 0.0, 0.0, 0.0))
    lost_mg: float = 0.0
    loaded_mg: float = 0.0

    @property
    def is_running(self) -> bool:
        """Whether time changes anything: liquid in the cup, or drug in the patient."""
        return self.cup.volume_ml > 0.0 or any(max(dose) > NEGLIGIBLE_MG for dose in self.dosed.values())

    def poured(self, parts: Mapping[str, float], dose_mg: float, volume_ml: float) -> "Treatment":
        """The treatment after a drug was poured into the cup.

        Parameters
        ----------
        parts : mapping
            Milligrams of each drug per milligram of the dose as it is said; empty for saline.
        dose_mg, volume_ml : float
        """
        added = {drug: share * dose_mg for drug, share in parts.items()}
        total = self.cup.drug_mg + sum(added.values())
        held = {drug: share * self.cup.drug_mg for drug, share in self.parts.items()}
        amounts = {drug: held.get(drug, 0.0) + added.get(drug, 0.0) for drug in (*held, *added)}
        return replace(
            self,
            cup=filled(self.cup, volume_ml, sum(added.values())),
            parts={drug: amount / total for drug, amount in amounts.items()} if total > 0.0 else {},
            loaded_mg=self.loaded_mg + sum(added.values()),
        )

    def emptied(self) -> "Treatment":
        """The treatment after the cup was rinsed: what was left is thrown away."""
        return replace(self, cup=Cup(), parts={}, lost_mg=self.lost_mg + self.cup.drug_mg, mist_frac=0.0)

    def held(self, angle_deg: float) -> "Treatment":
        """The treatment with the cup held so; 0 is upright. [degree]"""
        return replace(self, angle_deg=angle_deg)

    def tapped(self) -> "Treatment":
        """The treatment after the cup was tapped."""
        return replace(self, cup=tapped(self.cup, self.jet))

    def later(
        self, flow_lpm: float, reaches_lips_frac: float, breathing: Breathing, dt_s: float
    ) -> "Treatment":
        """The treatment some time later; nothing else may change meanwhile. [L/min], [1], [s]"""
        mist = nebulised_second(
            self.cup, self.jet, breathing, reaches_lips_frac, flow_lpm, self.angle_deg, dt_s
        )
        lung_mg = mist.deposit.airways + mist.deposit.alveoli
        dosed = {}
        for drug in {*self.parts, *self.dosed}:
            share = self.parts.get(drug, 0.0)
            dosed[drug] = dosed_after(
                self.dosed.get(drug, Dosed()),
                self.actions[drug],
                share * lung_mg,
                share * mist.deposit.throat,
                dt_s,
            )
        return replace(
            self,
            cup=mist.cup,
            dosed=dosed,
            mist_frac=mist_frac(mist.cup, self.jet, flow_lpm, self.angle_deg),
            deposit=Deposit(*(a + b for a, b in zip(self.deposit, mist.deposit, strict=True))),
            lost_mg=self.lost_mg + mist.lost_mg,
        )

    @property
    def relief_frac(self) -> float:
        """Share of the narrowing that can be undone and that is undone now. [1]"""
        relief = 0.0
        for drug in sorted(self.dosed):
            relief = joint_relief_frac(relief, relief_frac(self.dosed[drug], self.actions[drug]))
        return relief

    def on(self, patient: Patient) -> Patient:
        """The patient as the drugs have made them."""
        if not self.dosed:
            return patient
        left = narrowing_left_frac(self.relief_frac, patient.reversible_frac)
        eased = {name: narrowed(getattr(HEALTHY, name), getattr(patient, name), left) for name in EASED}
        quicker = sum(heart_rate_rise_per_min(self.dosed[d], self.actions[d]) for d in sorted(self.dosed))
        released = 0.0
        for drug in sorted(self.dosed):
            released = max(released, vasoconstriction_release_frac(self.dosed[drug], self.actions[drug]))
        return patient._replace(
            **eased,
            heart_drive_per_min=patient.heart_drive_per_min + quicker,
            vasoconstriction=patient.vasoconstriction * (1.0 - released),
        )


def treatment_from(
    jet_numbers: Mapping[str, float], drug_numbers: Mapping[str, Mapping[str, float]]
) -> Treatment:
    """An empty cup and untreated patient, from the figures of one cup and of every drug."""
    return Treatment(
        jet_from(jet_numbers), {drug: action_from(numbers) for drug, numbers in drug_numbers.items()}
    )


def breathing_of(
    rate_per_min: float,
    tidal_ml: float,
    patient: Patient,
    nose_frac: float,
    carrier_lpm: float = 0.0,
    passes_um: float = 0.0,
    past_throat: float = 0.0,
) -> Breathing:
    """How a patient breathes the mist, from the last whole breath; see `Breathing` for the way it comes."""
    length_s = 60.0 / max(1.0, rate_per_min)
    return Breathing(
        inspiratory_s=patient.inspiratory_share * length_s,
        expiratory_s=(1.0 - patient.inspiratory_share) * length_s,
        pause_s=0.0,
        tidal_ml=max(1.0, tidal_ml),
        nose_frac=nose_frac,
        talking_frac=patient.talking_frac,
        carrier_lpm=carrier_lpm,
        passes_um=passes_um,
        past_throat=past_throat,
    )
